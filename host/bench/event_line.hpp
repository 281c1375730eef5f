// A session's events as lines that a technician reads, each with what it led to.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "host/bench/pipeline.hpp"
#include "host/record/event.hpp"

namespace pairmark::bench {

class EventLines {
  public:
    struct Line {
        std::string text;  // one line; outside text in it as by `escaped`
        nlohmann::json object;
    };
    /// Takes one event, in rising order of sequence: "   12  2026-11-24 22:50:00.123  reading   R −1.25 DS >
    /// pair 3 open". A text in force that this program cannot use is said; from there on no pairs are told.
    Line take(const record::Event& event);

  private:
    void follow(const record::Event& event, Line& line);
    Pipeline pipeline_;
    bool follows_ = true;
};

/// What happened, without what it led to. Outside text in it as by `escaped`.
std::string happening(const record::EventBody& body);

}  // namespace pairmark::bench

// pairmark decode: captures in, what the instrument's screen showed out.
#include <iostream>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "host/cli/commands.hpp"
#include "host/cli/files.hpp"
#include "host/learn/base64.hpp"
#include "host/learn/profile_json.hpp"
#include "host/learn/screen.hpp"

namespace pairmark::cli {

namespace {

using Json = nlohmann::ordered_json;
using Bytes = std::vector<std::uint8_t>;

struct BadLine : std::runtime_error {
    using std::runtime_error::runtime_error;
};

Bytes capture_of(const std::string& line) {
    Json json;
    try {
        json = Json::parse(line);
    } catch (const Json::exception&) {
        throw BadLine("not JSON; expected {\"capture\": \"<base64>\"}");
    }
    if (!json.is_object() || !json.contains("capture") || !json["capture"].is_string())
        throw BadLine("expected {\"capture\": \"<base64>\"}");
    auto bytes = learn::from_base64(json["capture"].get_ref<const std::string&>());
    if (!bytes) throw BadLine("\"capture\" is not base64");
    return std::move(*bytes);
}

class Decoder {
  public:
    explicit Decoder(Bytes compact) : compact_(std::move(compact)), screen_(compact_) {
        const char* why = "";
        std::size_t at = 0;
        (void)profile_.open(compact_.data(), compact_.size(), why, at);  // `Screen` has opened it
    }
    Json operator()(const Bytes& capture) const {
        return screen_.answer(protocol::decode(profile_, capture.data(), capture.size()), capture.size());
    }

    Decoder(const Decoder&) = delete;
    Decoder& operator=(const Decoder&) = delete;

  private:
    Bytes compact_;  // the profile points into it
    learn::Screen screen_;
    protocol::Profile profile_;
};

int decode_lines(const Decoder& decode) {
    std::string line;
    for (std::size_t number = 1; std::getline(std::cin, line); ++number) {
        if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
        try {
            std::cout << decode(capture_of(line)).dump() << std::endl;
        } catch (const BadLine& bad) {
            std::cerr << "pairmark decode: line " << number << ": " << bad.what() << '\n';
            return 2;
        }
    }
    return 0;
}

Bytes profile_in(const std::string& file) {
    try {
        return learn::compact_profile(read_file(file));
    } catch (const learn::BadProfile& bad) {
        throw learn::BadProfile(file + ": " + bad.what());
    }
}

constexpr const char* help_end = R"(
One capture a line on standard input, one answer a line on standard output, in order:
  {"capture": "Uj0gLTAxLjI1ICYgLTAwLjUwIEAgMDg1IH4zNw0K"}
  {"readings":[{"eye":"right","sphere":-1.25,"cylinder":-0.5,"axis":85}]}
The numbers are those of the instrument's screen: nothing is transposed, rounded or repaired. A capture with
both lenses answers right, then left; `add`, `prism` and `centres` stand where the capture has them. One that
says that there is no reading answers {"readings":[]}, one that does not fit the profile to its last byte
{"refused": why and where}.

Example:
  echo '{"capture":"Uj0gLTAxLjI1ICYgLTAwLjUwIEAgMDg1IH4zNw0K"}' | pairmark decode --profile demo/instrument.profile.json

Exit status: 0; 2 if a line or the profile is wrong (the lines before it are answered); 1 if it could not be done.
)";

}  // namespace

void add_decode(CLI::App& app, int& status) {
    const auto file = std::make_shared<std::string>();
    CLI::App* command =
        app.add_subcommand("decode", "say what captures of an instrument mean by its profile");
    command->add_option("--profile", *file, "the instrument's profile")->type_name("FILE")->required();
    command->footer(help_end);
    command->callback([file, &status] {
        try {
            status = decode_lines(Decoder(profile_in(*file)));
        } catch (const learn::BadProfile& bad) {
            std::cerr << "pairmark decode: " << bad.what() << '\n';
            status = 2;
        }
    });
}

}  // namespace pairmark::cli

#include <catch2/catch.hpp>

#include "protocol/event_record.hpp"
#include "tests/protocol/files.hpp"

using namespace pairmark::protocol;
using namespace pairmark::protocol::testing;

namespace {

const std::string head = "@EVENT id=0123456789ABCDEF ep=1 n=2 rec=12345678";
const std::string lens = " k=reading step=quarter e=R s=-125 c=-50 a=85";

bool read(const std::string& body, EventLine& event, std::string& fault) {
    const std::string bytes = signed_line(body);
    Line line;
    REQUIRE(parse_line(text_of(bytes), line) == LineFault::none);
    const char* key = "";
    const bool good = read_event(line, event, key);
    fault = key == nullptr ? "" : key;
    return good;
}

}  // namespace

TEST_CASE("An EVENT line with a field missing, malformed or out of range is refused, and the key is named") {
    struct Row {
        std::string body;
        const char* fault;
    };
    const std::vector<Row> rows{
        {"@PING n=1", "EVENT"},
        {"@EVENT ep=1 n=2 rec=12345678" + lens, "id"},
        {"@EVENT id=0123 ep=1 n=2 rec=12345678" + lens, "id"},
        {"@EVENT id=0123456789ABCDEF n=2 rec=12345678" + lens, "ep"},
        {"@EVENT id=0123456789ABCDEF ep=65536 n=2 rec=12345678" + lens, "ep"},
        {"@EVENT id=0123456789ABCDEF ep=1 n=0 rec=12345678" + lens, "n"},
        {"@EVENT id=0123456789ABCDEF ep=1 n=2 rec=1234567" + lens, "rec"},
        {head + " age=-1" + lens, "age"},
        {head + " first=0" + lens, "first"},
        {head + " first=2" + lens, "first"},
        {head, "k"},
        {head + " k=other", "k"},
        {head + " k=key", "key"},
        {head + " k=key key=stop", "key"},
        {head + " k=key key=go long=0", "long"},
        {head + " k=reading e=R s=0 c=0 a=0", "step"},
        {head + " k=reading step=third e=R s=0 c=0 a=0", "step"},
        {head + " cd=99" + lens, "cd"},
        {head + " cd=1201" + lens, "cd"},
        {head + " k=reading step=quarter", "e"},
        {head + " k=reading step=quarter e=X s=0 c=0 a=0", "e"},
        {head + " k=reading step=quarter e=R c=0 a=0", "s"},
        {head + " k=reading step=quarter e=R s=3001 c=0 a=0", "s"},
        {head + " k=reading step=quarter e=R s=0 c=-1201 a=5", "c"},
        {head + " k=reading step=quarter e=R s=0 c=-50 a=0", "a"},
        {head + " k=reading step=quarter e=R s=0 c=-50 a=181", "a"},
        {head + " k=reading step=quarter e=R s=0 c=0 a=5", "a"},
        {head + lens + " d=-25", "d"},
        {head + lens + " d=625", "d"},
        {head + lens + " h=50", "v"},
        {head + lens + " v=50", "h"},
        {head + lens + " h=3001 v=0", "h"},
        {head + lens + " e2=L s2=0 c2=0", "a2"},
        {head + lens + " e2=L s2=0 c2=0 a2=0 d2=1000", "d2"},
        {head + lens + " e2=R s2=0 c2=0 a2=0", "e2"},
        {head + lens + " e2=- s2=0 c2=0 a2=0", "e2"},
        {head + lens + " s2=0 c2=0 a2=0", "e2"},
        {head + " k=reading step=quarter e=L s=0 c=0 a=0 e2=R s2=0 c2=0 a2=0", "e2"},
    };
    for (const Row& row : rows) {
        INFO(row.body);
        EventLine event;
        std::string fault;
        CHECK_FALSE(read(row.body, event, fault));
        CHECK(fault == row.fault);
    }
}

TEST_CASE("An EVENT line's unknown keys are ignored and its order is free") {
    EventLine event;
    std::string fault;
    REQUIRE(read(
        "@EVENT a=85 c=-50 s=-125 e=L step=eighth k=reading new=x rec=12345678 n=2 ep=1 id=0123456789ABCDEF",
        event, fault));
    CHECK(event.event.lens[0].eye == EyeCode::left);
    CHECK(event.event.lens[0].sphere == -125);
    CHECK(event.event.step == StepCode::eighth);
    CHECK_FALSE(event.age_known);
}

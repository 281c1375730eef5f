#include "host/pairing/question.hpp"

#include <algorithm>
#include <stdexcept>
#include <string>

namespace pairmark::pairing {

record::Question question(std::string_view id, record::Eye eye) {
    const std::string lens = std::string(record::word(eye)) + " lens";
    const auto with = [&](std::string say, std::initializer_list<std::string_view> choices) {
        record::Question made{std::string(id), std::move(say), {}};
        for (const std::string_view choice : choices)
            made.choices.emplace_back(choice);
        return made;
    };
    if (id == ask::same_lens_twice)
        return with("The " + lens +
                        " was measured twice and differs by more than 0.25 D. Is it the same lens again, the "
                        "other lens, "
                        "another pair, or another place of the lens?",
                    {answer::same_lens, answer::other_lens, answer::another_pair, answer::two_places});
    if (id == ask::two_places)
        return with("The " + lens + " has two powers. Mark it as segment or progressive.", {});
    if (id == ask::not_cleared)
        return with(
            "A lens reads exactly as that of the pair before. Was the instrument cleared? Measure both "
            "lenses again, or say "
            "that the powers are the same.",
            {answer::measure_again, answer::same_powers});
    if (id == ask::after_restart)
        return with(
            "The adapter started again while half a pair was measured. Is this lens of the same pair?",
            {answer::same_pair, answer::another_pair});
    if (id == ask::half_pair_old)
        return with("One lens was measured a while ago and the other never. Go on with this pair?",
                    {answer::go_on_with_it});
    if (id == ask::half_pair_left_behind)
        return with("This pair was left with a lens not measured when the next was begun.",
                    {answer::go_on_with_it});
    if (id == ask::not_looked_over)
        return with("Nobody said that this pair was looked over. Look it over.", {answer::in_order});
    if (id == ask::set_aside) return with("This pair was set aside by hand.", {});
    throw std::logic_error("pairing puts no question " + std::string(id));
}

record::Question question_of_a_near_part(record::Eye eye) {
    record::Question made{
        std::string(ask::same_lens_twice),
        "The " + std::string(record::word(eye)) +
            " lens was measured twice, and the second time it has 0.50 D or more plus. Is it "
            "another place of the lens, as in a segment or progressive, the same lens again, "
            "the other lens, or another pair?",
        {}};
    for (const std::string_view choice :
         {answer::two_places, answer::same_lens, answer::other_lens, answer::another_pair})
        made.choices.emplace_back(choice);
    return made;
}

bool has_question(const record::Pair& pair, std::string_view id) {
    return std::any_of(pair.questions.begin(), pair.questions.end(),
                       [id](const record::Question& put) { return put.id == id; });
}

void remove_question(record::Pair& pair, std::string_view id) {
    std::erase_if(pair.questions, [id](const record::Question& put) { return put.id == id; });
}

}  // namespace pairmark::pairing

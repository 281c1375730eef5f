// Runs a fuzz target without a fuzzer: every file of a corpus folder, then fixed random mutations of them.
//   replay_NAME CORPUS_FOLDER [MUTATIONS [SEED]]
// A broken invariant aborts with the input in the file replay-failed.
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

using Bytes = std::vector<std::uint8_t>;

std::vector<Bytes> read_folder(const std::filesystem::path& folder) {
    std::vector<std::filesystem::path> paths;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        if (entry.is_regular_file()) paths.push_back(entry.path());
    std::sort(paths.begin(), paths.end());
    std::vector<Bytes> inputs;
    for (const auto& path : paths) {
        std::ifstream file(path, std::ios::binary);
        inputs.emplace_back(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>());
    }
    return inputs;
}

void run(const Bytes& input) {
    // Written before, because a broken invariant ends the program.
    static const bool keep = std::getenv("PAIRMARK_KEEP_INPUT") != nullptr;
    if (keep) {
        std::ofstream("replay-failed", std::ios::binary)
            .write(reinterpret_cast<const char*>(input.data()), static_cast<std::streamsize>(input.size()));
    }
    LLVMFuzzerTestOneInput(input.data(), input.size());
}

void mutate(Bytes& input, const std::vector<Bytes>& corpus, std::mt19937& random) {
    const unsigned changes = 1 + random() % 8;
    for (unsigned i = 0; i < changes; ++i) {
        const std::size_t at = input.empty() ? 0 : random() % input.size();
        const auto place = input.begin() + static_cast<std::ptrdiff_t>(at);
        switch (random() % 6) {
            case 0:
                if (!input.empty()) input[at] = static_cast<std::uint8_t>(random());
                break;
            case 1:
                if (!input.empty()) input[at] = static_cast<std::uint8_t>(input[at] ^ (1U << (random() % 8)));
                break;
            case 2:
                if (!input.empty()) input.erase(place);
                break;
            case 3:
                input.insert(place, static_cast<std::uint8_t>(random()));
                break;
            case 4:
                if (!input.empty()) input[at] = static_cast<std::uint8_t>(input[at] + random() % 5 - 2);
                break;
            default: {
                const Bytes& other = corpus[random() % corpus.size()];
                if (other.empty() || input.size() > 4096) break;
                const std::size_t from = random() % other.size();
                const std::size_t size = std::min<std::size_t>(other.size() - from, random() % 40);
                input.insert(place, other.begin() + static_cast<std::ptrdiff_t>(from),
                             other.begin() + static_cast<std::ptrdiff_t>(from + size));
            }
        }
    }
}

}  // namespace

int main(int argc, char** argv) {
    if (argc < 2) {
        std::fprintf(stderr, "usage: %s CORPUS_FOLDER [MUTATIONS [SEED]]\n", argv[0]);
        return 2;
    }
    const std::vector<Bytes> corpus = read_folder(argv[1]);
    if (corpus.empty()) {
        std::fprintf(stderr, "no inputs in %s\n", argv[1]);
        return 2;
    }
    const unsigned long mutations = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 2000;
    std::mt19937 random(argc > 3 ? static_cast<unsigned>(std::strtoul(argv[3], nullptr, 10)) : 1);
    for (const Bytes& input : corpus)
        run(input);
    for (unsigned long i = 0; i < mutations; ++i) {
        Bytes input = corpus[random() % corpus.size()];
        mutate(input, corpus, random);
        run(input);
    }
    std::printf("%zu inputs and %lu mutations held\n", corpus.size(), mutations);
    return 0;
}

#include "host/printing/folder.hpp"

#include "host/label/number.hpp"
#include "host/printing/whole_file.hpp"

namespace pairmark::printing {

void Folder::print(Job job, Begins, Done done) {
    done(write(job));
}

Result Folder::write(const Job& job) {
    // The number becomes a file's name: only what is a number in every character gets that far.
    if (!label::verify_number(job.number) || job.copy < 0)
        return {record::PrintOutcome::failed,
                "label not printed: its number is not a label number; report this as a fault of "
                "the program"};
    const std::string file = job.number + (job.copy > 0 ? "-copy" + std::to_string(job.copy) : "") + ".pdf";
    return write_whole_file(path_, file, job.document, {"label", "release the label"});
}

}  // namespace pairmark::printing

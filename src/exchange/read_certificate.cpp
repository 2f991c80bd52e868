#include "record_reader.hpp"
#include <lotwort/exchange/certificate_file.hpp>

namespace lotwort {

Certificate read_certificate(std::string_view text, std::string_view source) {
    const Document document = source.ends_with(".toml") ? parse_toml(text, source) : parse_json(text, source);
    Faults faults(document);
    Certificate certificate;
    RecordReader(document, faults).read(0, certificate);
    faults.throw_if_any();
    return certificate;
}

} // namespace lotwort

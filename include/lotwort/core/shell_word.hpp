// A name in a command that is shown to be typed: it must reach the program whole, whatever a brewer has called the lot.
#pragma once

#include <string>
#include <string_view>

namespace lotwort {

// The text as one word of a POSIX shell (XCU 2.2, Quoting): as it stands where no character means anything to the
// shell, in double quotes where it holds blanks and the like, in single quotes where a character would act inside
// those: PAM-1, "pale ale malt", 'malt "extra"', 'brewer'\''s $5 malt'.
[[nodiscard]] std::string shell_word(std::string_view text);

} // namespace lotwort

#pragma once
// What the program tells the shell. The numbers from 64 on are those of sysexits.h (4.3BSD).

namespace backfield::cli {

enum ExitCode : int {
  kAnswered = 0,       ///< also when the answer is "none"
  kBadInput = 2,       ///< or bad usage; nothing has been written
  kNoOption = 3,       ///< --require-option or --require-one, and there is none
  kOurFault = 70,      ///< EX_SOFTWARE
  kFilesTrouble = 74,  ///< EX_IOERR: the named file cannot be read, or an output cannot be written
};

}  // namespace backfield::cli

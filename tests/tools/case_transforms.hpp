#pragma once
// The same departure seen otherwise: what must not change its answer.

#include "backfield/decision/case.hpp"

namespace backfield::test {

/// The whole scene turned clockwise about the frame's origin: runways, wind, departure track.
decision::Case rotated(decision::Case c, Angle right);

/// East and west exchanged: left becomes right.
decision::Case mirrored(decision::Case c);

/// Runway ends listed the other way round.
decision::Case relisted(decision::Case c);

}  // namespace backfield::test

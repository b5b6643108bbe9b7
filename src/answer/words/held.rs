//! Why no stick brings a cue ball as asked, in words.

use std::fmt;

use crate::answer::held::NoStick;

impl fmt::Display for NoStick {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFarOff => {
                f.write_str("struck there, the cue ball does not get to the object ball")
            }
            Self::StopsShort => f.write_str("struck so, the cue ball stops short"),
            Self::CannotArrive(why) => why.fmt(f),
        }
    }
}

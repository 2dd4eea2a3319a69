//! "Wait" or "go on", from where debris and eyes are and not from a clock.

/// What to do now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Advice {
    /// The chair turns.
    Moving,
    /// Debris still moves in a canal.
    DebrisMoves,
    /// Debris rests, nystagmus is still seen.
    EyesMove,
    /// Debris rests and the eyes are quiet.
    GoOn,
    /// No debris is left in any canal.
    Clear,
}

impl Advice {
    /// In this order: a turning chair, debris, eyes.
    pub fn of(chair_moves: bool, inside: usize, debris_moves: bool, nystagmus_seen: bool) -> Self {
        match (chair_moves, debris_moves, nystagmus_seen) {
            (true, ..) => Advice::Moving,
            (false, true, _) => Advice::DebrisMoves,
            (false, false, true) => Advice::EyesMove,
            (false, false, false) if inside == 0 => Advice::Clear,
            (false, false, false) => Advice::GoOn,
        }
    }

    /// One word or two.
    pub const fn word(self) -> &'static str {
        match self {
            Advice::Moving => "Turning",
            Advice::DebrisMoves | Advice::EyesMove => "Wait",
            Advice::GoOn | Advice::Clear => "Go on",
        }
    }

    /// The next move may begin.
    pub const fn is_go_on(self) -> bool {
        matches!(self, Advice::GoOn | Advice::Clear)
    }

    /// Why.
    pub const fn reason(self) -> &'static str {
        match self {
            Advice::Moving => "the hold begins once the chair stands",
            Advice::DebrisMoves => "debris still moves in the canal",
            Advice::EyesMove => "debris rests, nystagmus is still seen",
            Advice::GoOn => "debris rests and the eyes are quiet",
            Advice::Clear => "no debris is left in a canal",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chair_comes_first_then_debris_then_eyes() {
        assert_eq!(Advice::of(true, 3, true, true), Advice::Moving);
        assert_eq!(Advice::of(false, 3, true, true).word(), "Wait");
        assert_eq!(Advice::of(false, 3, false, true), Advice::EyesMove);
        assert_eq!(Advice::of(false, 3, false, false), Advice::GoOn);
        assert_eq!(Advice::of(false, 0, false, false), Advice::Clear);
    }
}

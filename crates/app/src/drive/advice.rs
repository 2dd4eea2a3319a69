//! First the position, then "wait" or "go on", from where debris and eyes are and not from a clock.

/// What to do now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Advice {
    /// The chair turns.
    Moving,
    /// The chair stands, but not where the step holds it.
    GetThere,
    /// Debris still moves in a canal.
    DebrisMoves,
    /// Debris rests, nystagmus is still seen.
    EyesMove,
    /// Debris rests and the eyes are quiet.
    GoOn,
    /// No debris is left in any canal.
    Clear,
    /// A hidden case: nothing but the eyes tells.
    Watch,
}

/// What the advice follows from.
#[expect(
    clippy::struct_excessive_bools,
    reason = "independent findings of one moment"
)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Now {
    /// Where debris is must not be told.
    pub hidden: bool,
    /// The chair turns.
    pub chair_moves: bool,
    /// It is where the step aimed at holds it, or there is no such step.
    pub in_place: bool,
    /// Pieces in a canal.
    pub pieces_inside: usize,
    /// Some of them moves.
    pub debris_moves: bool,
    /// Nystagmus is seen.
    pub nystagmus_seen: bool,
}

impl Advice {
    /// In this order: a turning chair, its position, debris, eyes.
    pub fn of(now: Now) -> Self {
        if now.chair_moves {
            Advice::Moving
        } else if now.hidden {
            Advice::Watch
        } else if !now.in_place {
            Advice::GetThere
        } else if now.debris_moves {
            Advice::DebrisMoves
        } else if now.nystagmus_seen {
            Advice::EyesMove
        } else if now.pieces_inside == 0 {
            Advice::Clear
        } else {
            Advice::GoOn
        }
    }

    /// One word or two.
    pub const fn word(self) -> &'static str {
        match self {
            Advice::Moving => "Turning",
            Advice::GetThere => "Not there yet",
            Advice::DebrisMoves | Advice::EyesMove => "Wait",
            Advice::GoOn | Advice::Clear => "Go on",
            Advice::Watch => "Watch the eyes",
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
            Advice::GetThere => "the chair is not where this step holds it",
            Advice::DebrisMoves => "debris still moves in the canal",
            Advice::EyesMove => "debris rests, nystagmus is still seen",
            Advice::GoOn => "debris rests and the eyes are quiet",
            Advice::Clear => "no debris is left in a canal",
            Advice::Watch => "hold as long as you think it needs",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chair_comes_first_then_its_place_then_debris_then_eyes() {
        let all = Now {
            hidden: false,
            chair_moves: true,
            in_place: false,
            pieces_inside: 3,
            debris_moves: true,
            nystagmus_seen: true,
        };
        assert_eq!(Advice::of(all), Advice::Moving);
        let stands = Now {
            chair_moves: false,
            ..all
        };
        assert_eq!(Advice::of(stands), Advice::GetThere, "position before wait");
        let there = Now {
            in_place: true,
            ..stands
        };
        assert_eq!(Advice::of(there).word(), "Wait");
        let rests = Now {
            debris_moves: false,
            ..there
        };
        assert_eq!(Advice::of(rests), Advice::EyesMove);
        let quiet = Now {
            nystagmus_seen: false,
            ..rests
        };
        assert_eq!(Advice::of(quiet), Advice::GoOn);
        let empty = Now {
            pieces_inside: 0,
            ..quiet
        };
        assert_eq!(Advice::of(empty), Advice::Clear);
    }
}

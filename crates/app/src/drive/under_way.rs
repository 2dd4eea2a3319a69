//! A drive as the session keeps it: what the hand does in this picture, and how the drive is to end.

use std::{f64::consts::PI, sync::Arc};

use lithodrome_rehearsal::Scenario;

use super::{
    Ask, Begin, ChairAxis, Driven, Driver, Pace, aim::asks_to, target::beyond_rad, tone::Heard,
};
use crate::{
    session::command::Command, session::playback::Playback, work::progress::Waker,
    work::stage_data::Loaded,
};

/// A drive under way.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is independent of the others"
)]
pub struct Drive {
    pub(crate) driver: Driver,
    /// Where it began.
    pub begin: Begin,
    /// The latest that came back.
    now: Option<Driven>,
    /// The record of some seconds ago, if its thread should die.
    pub(crate) record: Option<Arc<Scenario>>,
    /// What the hand asks for in this picture.
    asks: [Ask; 2],
    /// The angles that axes are pulled to while the pointer holds them, rad.
    pulled_to_rad: [Option<f64>; 2],
    /// How often it has been "go on".
    go_ons: u32,
    /// Stopped at once: nothing counts until the hand has let go.
    stopped: bool,
    /// The step that the held target turns to, and whether it is held in this picture.
    going_to: Option<usize>,
    goes: bool,
    /// It is one large target on the whole screen.
    pub glove: bool,
    /// The cursor as it was before.
    pub(crate) playback_before: Playback,
    /// It becomes the draft; else it is thrown away.
    pub(crate) keep: bool,
    /// What was asked for meanwhile that has to wait for the end.
    pub(crate) then: Option<Command>,
}

impl Drive {
    /// Starts at the plan's start, or goes on where its run ends.
    pub(crate) fn start(
        plan: Arc<Loaded>,
        begin: Begin,
        playback_before: Playback,
        waker: Waker,
        pace: Pace,
    ) -> Self {
        Self {
            driver: Driver::start(plan, begin, waker, pace),
            begin,
            now: None,
            record: None,
            asks: Default::default(),
            pulled_to_rad: Default::default(),
            go_ons: 0,
            stopped: false,
            going_to: None,
            goes: false,
            glove: false,
            playback_before,
            keep: true,
            then: None,
        }
    }

    /// It goes on with a hidden case.
    pub fn is_in_case(&self) -> bool {
        matches!(self.begin, Begin::AtEnd(_))
    }

    /// What was planned.
    pub fn plan(&self) -> &Arc<Loaded> {
        &self.driver.plan
    }

    /// The latest of what came of it; nothing in the first moment.
    pub fn now(&self) -> Option<&Driven> {
        self.now.as_ref()
    }

    /// How long the chair has been standing, s; `None` while it turns.
    pub fn held_s(&self) -> Option<f64> {
        let now = self.now.as_ref()?;
        now.rests_since_s.map(|since_s| now.time_s - since_s)
    }

    /// It has been told to end.
    pub fn is_ending(&self) -> bool {
        self.driver.is_stopping()
    }

    /// What is to be heard of it now.
    pub(crate) fn heard(&self) -> Heard {
        let aims = self.now.as_ref().filter(|_| !self.is_in_case());
        let beyond_rad = aims.and_then(|now| {
            let plan = self.plan();
            let times = plan.step_times.get(now.target.step)?;
            beyond_rad(plan.angles_at(times.hold_from_s), now.angles)
        });
        Heard {
            beyond_rad: beyond_rad.map(|rad| rad as f32),
            go_ons: self.go_ons,
        }
    }

    /// Looks what has come back; true if there is something new.
    pub(crate) fn look(&mut self) -> bool {
        let next = self.driver.driven();
        let same = match (&self.now, &next) {
            (Some(a), Some(b)) => Arc::ptr_eq(&a.loaded, &b.loaded),
            (_, None) => true,
            (None, Some(_)) => false,
        };
        if !same {
            if let (Some(a), Some(b)) = (&self.now, &next)
                && b.advice.is_go_on()
                && !a.advice.is_go_on()
            {
                self.go_ons += 1;
            }
            self.now = next;
        }
        !same
    }

    /// The hand asks an axis for a speed, rad/s, in this picture.
    pub(crate) fn push(&mut self, axis: ChairAxis, rate_rad_s: f64) {
        self.asks[axis.index()] = Ask::Rate(rate_rad_s);
    }

    /// The hand holds an axis in this picture and pulls it on by an angle, rad.
    pub(crate) fn pull(&mut self, axis: ChairAxis, by_rad: f64) {
        let Some(now) = &self.now else { return };
        let here_rad = axis.of(now.angles);
        let before_rad = self.pulled_to_rad[axis.index()].unwrap_or(here_rad);
        // Further than half a turn ahead nobody can pull.
        let to_rad = (before_rad + by_rad).clamp(here_rad - PI, here_rad + PI);
        self.pulled_to_rad[axis.index()] = Some(to_rad);
        self.asks[axis.index()] = Ask::Angle(to_rad);
    }

    /// The step that the large target turns to if it is taken now: the one aimed at, the next where that is
    /// reached.
    pub fn next_step(&self) -> Option<usize> {
        let target = self.now.as_ref().filter(|_| !self.is_in_case())?.target;
        let last = self.plan().step_times.len().checked_sub(1)?;
        Some(self.going_to.unwrap_or_else(|| {
            let next = target.step + usize::from(target.reached);
            next.min(last)
        }))
    }

    /// The hand or a pedal holds the large target in this picture.
    pub(crate) fn go_on(&mut self) {
        let (Some(step), Some(now)) = (self.next_step(), &self.now) else {
            return;
        };
        self.goes = true;
        if self.going_to.is_none() && step != now.target.step {
            self.driver.aim_at(step);
        }
        self.going_to = Some(step);
        self.asks = asks_to(&self.driver.plan, step, now.angles);
    }

    /// Lets the chair stop whatever the hand does, until it has let go once.
    pub(crate) fn stop_chair(&mut self) {
        self.stopped = true;
    }

    /// The picture is over: hands over what was asked for in it. What is not asked for again in the next
    /// one has been let go, and a window that is not `in_front` has no hand on the chair. Behind a dialog
    /// time stands still.
    pub(crate) fn hand_over(&mut self, in_front: bool, paused: bool) {
        self.driver.pause(paused);
        let mut asks = std::mem::take(&mut self.asks);
        if !std::mem::take(&mut self.goes) {
            self.going_to = None;
        }
        if !in_front {
            asks = Default::default();
        }
        let free = asks == [Ask::Nothing; 2];
        self.stopped &= !free;
        for axis in ChairAxis::BOTH {
            if !matches!(asks[axis.index()], Ask::Angle(_)) {
                self.pulled_to_rad[axis.index()] = None;
            }
        }
        self.driver.wish(if self.stopped {
            [Ask::Nothing; 2]
        } else {
            asks
        });
    }
}

//! stub
use crate::model::{Drive, Model};
use crate::simulate::SimulateError;
use crate::state::State;
pub(crate) struct World;
impl World {
    pub(crate) fn new(_: &Model, _: &State) -> World { World }
    pub(crate) fn step_limit_s(&self, _: &State) -> f64 { 1.0 / 240.0 }
    pub(crate) fn advance(&mut self, _: &Model, _: &mut State, _: [&Drive; 3], _: f64, t: f64) -> Result<u64, SimulateError> { Err(SimulateError::Lost { bodies: 0, time_s: t }) }
}

//! The house: what holds for every source file, so that it need not be looked at in review.

mod circles;
mod files;
mod licences;
mod modules;
mod rooms;

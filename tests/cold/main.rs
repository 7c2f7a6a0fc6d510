//! Cold nights: what the evening says of plants in their places, and what the act that follows then says.

#[path = "../command_line/mod.rs"]
mod command_line;
#[path = "../noaa_series/mod.rs"]
mod noaa_series;
#[path = "../sitting/mod.rs"]
mod sitting;

mod act;
mod after_days_away;
mod evening;
mod killing_night;
mod late;
mod obeying;
mod one_judgement;
mod one_plan;
mod one_state;
mod parted;
mod places;
mod read_now_and_then;
mod told_once;

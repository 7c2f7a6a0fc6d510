//! The screens: pages and forms by keys, and the real program in a real terminal.

#[path = "../pty/mod.rs"]
mod pty;
#[path = "../sitting/mod.rs"]
mod sitting;

mod afternoon;
mod as_text;
mod cells;
mod drafts;
mod first_time;
mod forms;
mod in_a_terminal;
mod interrupted;
mod journeys;
mod keys_in_readme;
mod line;
mod offers;
mod pictures;
mod plan;
mod round;
mod said;
mod shared;
mod sizes;
mod terminal_given_back;
mod twins;

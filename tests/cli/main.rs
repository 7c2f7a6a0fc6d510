//! The command line through the real binary, as a grower types it.

#[path = "../command_line/mod.rs"]
mod command_line;
#[path = "../pty/mod.rs"]
mod pty;

mod afternoon;
mod april;
mod bolting;
mod by_day;
mod clocks;
mod compare;
mod contract;
mod counts;
mod damaged;
mod fits;
mod forecast_fetch;
mod keeping;
mod learning;
mod morning_reading;
mod one_action;
mod outlook;
mod plain;
mod plot;
mod refusals;
mod settings;

//! The threads that listen: keys, signals, and the terminal going away.
//!
//! The input library never returns from its read once the terminal is gone, and burns a processor core instead. So
//! the main thread never calls it, and the threads here that hear of the end also see to it: they ask the main thread
//! first, and end the process themselves when it does not answer in time.

use std::sync::mpsc::Sender;
use std::time::Duration;
use std::{io, process, thread};

use crossterm::event::{self, Event as Input, KeyEventKind};
use crossterm::terminal::disable_raw_mode;
use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM};
use signal_hook::iterator::Signals;

use super::{Ending, Event, Focus, leave};

/// How long the main thread has to finish the write at hand. Not more than a second: meanwhile the input library may
/// spin.
const GRACE: Duration = Duration::from_millis(700);

/// Hands on keys, pastes, sizes, focus and mouse as they arrive.
pub(super) fn input(heard: Sender<Event>) -> io::Result<()> {
    thread::Builder::new().name("input".to_owned()).spawn(move || {
        loop {
            let event = match event::read() {
                Ok(input) => wanted(input),
                Err(_) => Some(Event::Quit(Ending::HungUp)),
            };
            if let Some(event) = event {
                let last = matches!(event, Event::Quit(_));
                if heard.send(event).is_err() || last {
                    return;
                }
            }
        }
    })?;
    Ok(())
}

fn wanted(input: Input) -> Option<Event> {
    match input {
        Input::Key(key) => (key.kind == KeyEventKind::Press).then_some(Event::Key(key)),
        Input::Paste(text) => Some(Event::Paste(text)),
        Input::Mouse(mouse) => Some(Event::Mouse(mouse)),
        Input::Resize(columns, rows) => Some(Event::Resize { columns, rows }),
        Input::FocusGained => Some(Event::Focus(Focus::Gained)),
        Input::FocusLost => Some(Event::Focus(Focus::Lost)),
    }
}

/// Catches the signals that ask for the end, and the one that says we were stopped for a while.
pub(super) fn signals(heard: Sender<Event>) -> io::Result<()> {
    let mut signals = Signals::new([SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGCONT])?;
    thread::Builder::new().name("signals".to_owned()).spawn(move || {
        for signal in signals.forever() {
            match signal {
                SIGHUP => see_to_the_end(Ending::HungUp, &heard),
                SIGINT => see_to_the_end(Ending::Interrupted, &heard),
                SIGQUIT => see_to_the_end(Ending::Aborted, &heard),
                SIGTERM => see_to_the_end(Ending::Terminated, &heard),
                _ => {
                    // Nobody left to tell means the screen is closed: nothing to take over again.
                    let _ = heard.send(Event::Continued);
                }
            }
        }
    })?;
    Ok(())
}

/// Notices the terminal going away where no signal says so: in a process that does not lead its session.
pub(super) fn hang_up(heard: Sender<Event>) -> io::Result<()> {
    thread::Builder::new().name("hang-up".to_owned()).spawn(move || {
        loop {
            // With no events asked for, only hang-up, error and a closed descriptor wake it.
            let happened = ready(libc::STDIN_FILENO, 0, -1);
            if happened & (libc::POLLHUP | libc::POLLERR | libc::POLLNVAL) != 0 {
                see_to_the_end(Ending::HungUp, &heard);
            }
        }
    })?;
    Ok(())
}

/// What poll(2) says of one descriptor; 0 when nothing happened or the wait was interrupted.
fn ready(descriptor: libc::c_int, wanted: libc::c_short, timeout_ms: libc::c_int) -> libc::c_short {
    let mut asked = libc::pollfd { fd: descriptor, events: wanted, revents: 0 };
    // SAFETY: the pointer is to one pollfd that outlives the call, and the count says one.
    let count = unsafe { libc::poll(&raw mut asked, 1, timeout_ms) };
    if count > 0 { asked.revents } else { 0 }
}

/// Asks the main thread to end, waits a moment, and ends the process.
#[allow(clippy::disallowed_methods, reason = "with the terminal gone or the main thread stuck, nobody else can")]
fn see_to_the_end(ending: Ending, heard: &Sender<Event>) -> ! {
    if heard.send(Event::Quit(ending)).is_ok() {
        thread::sleep(GRACE);
    }
    // A terminal that is gone or has stalled must not keep us; its line settings can be put back without writing.
    if ready(libc::STDOUT_FILENO, libc::POLLOUT, 0) == libc::POLLOUT {
        leave();
    } else {
        let _ = disable_raw_mode();
    }
    process::exit(i32::from(ending.exit_code()))
}

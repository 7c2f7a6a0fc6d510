//! Owns every mode of the terminal: what is switched on when the full screen opens is switched off here and only here,
//! whatever ends the program.
//!
//! One thread draws and decides: the one that holds the [`Screen`]. Three others only listen (see `watch`) and
//! send what they hear into one channel, so waiting costs nothing and a signal is never missed.

use std::fs::File;
use std::io::{self, BufWriter, IsTerminal, Write};
use std::mem::ManuallyDrop;
use std::os::fd::AsFd;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::time::Duration;
use std::{panic, thread};

use crossterm::cursor::Show;
use crossterm::event::{
    DisableBracketedPaste, DisableFocusChange, DisableMouseCapture, EnableBracketedPaste, EnableFocusChange,
    EnableMouseCapture, KeyEvent, MouseEvent,
};
use crossterm::style::ResetColor;
use crossterm::terminal::{
    BeginSynchronizedUpdate, EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode,
    enable_raw_mode,
};
use crossterm::{execute, queue};
use ratatui::backend::CrosstermBackend;
use ratatui::layout::{Position, Rect};
use ratatui::{Frame, Terminal};
use thiserror::Error;

mod watch;

/// True while the terminal's modes are ours to undo.
static IN_FORCE: AtomicBool = AtomicBool::new(false);

/// True once a screen has been opened: the listening threads and the panic hook exist once in a process.
static OPENED: AtomicBool = AtomicBool::new(false);

/// How long a stop asked for by this process may take to reach it.
const STOP_ARRIVES_WITHIN: Duration = Duration::from_millis(50);

/// Why the full screen cannot be opened.
#[derive(Debug, Error)]
pub enum ScreenError {
    /// Standard input or output is a file or a pipe.
    #[error("the full screen needs a terminal for both input and output; name a command for plain text, as in 'due'")]
    NoTerminal,
    /// A screen has been opened in this process before.
    #[error("the full screen can be opened once only")]
    OpenedBefore,
    /// The terminal or the system refused.
    #[error("the terminal cannot be used: {0}")]
    Io(#[from] io::Error),
}

/// Whether the mouse is reported to the program, or left to the terminal for selecting and copying text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mouse {
    /// The terminal keeps the mouse.
    Left,
    /// Presses, movements and the wheel arrive as [`Event::Mouse`].
    Followed,
}

/// What happened while the screen waited.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// A key went down. Key releases and repeats are not reported.
    Key(KeyEvent),
    /// Text was pasted, exactly as the terminal gave it, control characters included: check it before use.
    Paste(String),
    /// The mouse did something; only with [`Mouse::Followed`].
    Mouse(MouseEvent),
    /// The window's new size; draw again.
    Resize {
        /// Width in cells.
        columns: u16,
        /// Height in cells.
        rows: u16,
    },
    /// The terminal's window came to the front or went behind.
    Focus(Focus),
    /// The program was stopped and has been continued; the screen is blank, draw again.
    Continued,
    /// The time given to [`Screen::next`] has passed.
    TimedOut,
    /// End now: finish the write at hand, drop the screen, leave with [`Ending::exit_code`].
    ///
    /// The process is ended from outside the main thread if that takes longer than a moment.
    Quit(Ending),
}

/// Whether keys go to this terminal window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Focus {
    /// They do.
    Gained,
    /// They go elsewhere.
    Lost,
}

/// What makes the program end without the grower's asking in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// The terminal went away.
    HungUp,
    /// SIGINT from outside; Ctrl-C arrives as a key.
    Interrupted,
    /// SIGQUIT.
    Aborted,
    /// SIGTERM.
    Terminated,
    /// Another thread panicked; the terminal has been given back already.
    Panicked,
}

impl Ending {
    /// The status to end the process with: 128 + the signal's number as shells report it, 101 after a panic.
    #[must_use]
    pub const fn exit_code(self) -> u8 {
        match self {
            Self::HungUp => 129,
            Self::Interrupted => 130,
            Self::Aborted => 131,
            Self::Terminated => 143,
            Self::Panicked => 101,
        }
    }
}

/// The terminal while it is ours. Dropping it gives the terminal back.
pub struct Screen {
    // Never dropped: ratatui's own farewell writes to standard error and panics when that is gone too.
    terminal: ManuallyDrop<Terminal<CrosstermBackend<BufWriter<File>>>>,
    events: Receiver<Event>,
    mouse: Mouse,
    gone: bool,
}

impl Screen {
    /// Takes the terminal over: raw keys, alternate screen, bracketed paste, focus reports and, if wanted, the mouse.
    ///
    /// Call it from the main thread. A panic in any thread gives the terminal back before its message is printed.
    ///
    /// # Errors
    /// When input or output is no terminal, when a screen was opened before, or when the system refuses. The terminal
    /// is then as it was.
    pub fn enter(mouse: Mouse) -> Result<Self, ScreenError> {
        if !io::stdin().is_terminal() || !io::stdout().is_terminal() {
            return Err(ScreenError::NoTerminal);
        }
        if OPENED.swap(true, Ordering::SeqCst) {
            return Err(ScreenError::OpenedBefore);
        }
        let (heard, events) = mpsc::channel();
        let backend = CrosstermBackend::new(BufWriter::with_capacity(16 * 1024, output()?));
        let terminal = ManuallyDrop::new(Terminal::new(backend)?);

        // Before the first mode is switched, all that could end the program must know how to switch it back.
        watch::signals(heard.clone())?;
        let earlier_hook = panic::take_hook();
        let on_panic = heard.clone();
        panic::set_hook(Box::new(move |panicked| {
            leave();
            let _ = on_panic.send(Event::Quit(Ending::Panicked));
            earlier_hook(panicked);
        }));

        // From here on dropping the screen undoes what was done.
        let mut screen = Self { terminal, events, mouse, gone: false };
        screen.take_over()?;
        watch::hang_up(heard.clone())?;
        watch::input(heard)?;
        Ok(screen)
    }

    /// Waits for the next event, for ever or until `timeout` has passed. Uses no processor time while it waits.
    ///
    /// Once the terminal is gone every call answers [`Event::Quit`] at once.
    pub fn next(&mut self, timeout: Option<Duration>) -> Event {
        if self.gone {
            return Event::Quit(Ending::HungUp);
        }
        let heard = match timeout {
            Some(timeout) => self.events.recv_timeout(timeout),
            None => self.events.recv().map_err(RecvTimeoutError::from),
        };
        match heard {
            Ok(Event::Continued) => {
                self.take_over_again();
                Event::Continued
            }
            Ok(event) => event,
            Err(RecvTimeoutError::Timeout) => Event::TimedOut,
            Err(RecvTimeoutError::Disconnected) => Event::Quit(Ending::HungUp),
        }
    }

    /// Draws one frame, shown by the terminal at once or not at all.
    ///
    /// There is nobody to tell when drawing fails: the terminal is gone, and the next [`Screen::next`] says so.
    pub fn draw(&mut self, view: impl FnOnce(&mut Frame<'_>)) {
        // A panic elsewhere may have given the terminal back; what is drawn now would land among its message.
        if !self.gone && IN_FORCE.load(Ordering::SeqCst) && self.draw_frame(view).is_err() {
            self.gone = true;
        }
    }

    fn draw_frame(&mut self, view: impl FnOnce(&mut Frame<'_>)) -> io::Result<()> {
        queue!(self.terminal.backend_mut(), BeginSynchronizedUpdate)?;
        self.terminal.draw(view)?;
        execute!(self.terminal.backend_mut(), EndSynchronizedUpdate)
    }

    /// Stops the program as Ctrl-Z does elsewhere, and takes the terminal over again when it is continued. Draw then.
    ///
    /// Without a shell that does job control nothing stops, and only the screen is cleared.
    pub fn suspend(&mut self) {
        leave();
        // SAFETY: kill reads and writes no memory of ours; 0 names our own process group.
        unsafe { libc::kill(0, libc::SIGTSTP) };
        // The kernel may hand the stop to another of our threads first; do not run ahead of it.
        thread::sleep(STOP_ARRIVES_WITHIN);
        self.take_over_again();
    }

    /// Follows the mouse from now on, or leaves it to the terminal again. Nothing is written when nothing changes.
    pub fn follow(&mut self, mouse: Mouse) {
        if self.mouse == mouse {
            return;
        }
        self.mouse = mouse;
        if self.gone || !IN_FORCE.load(Ordering::SeqCst) {
            return;
        }
        let backend = self.terminal.backend_mut();
        let switched = match mouse {
            Mouse::Followed => execute!(backend, EnableMouseCapture),
            Mouse::Left => execute!(backend, DisableMouseCapture),
        };
        self.gone = switched.is_err();
    }

    /// The window's columns and rows; `None` when the terminal does not say.
    #[must_use]
    pub fn size(&self) -> Option<(u16, u16)> {
        self.terminal.size().ok().map(|size| (size.width, size.height))
    }

    fn take_over_again(&mut self) {
        if self.take_over().is_err() {
            self.gone = true;
        }
    }

    fn take_over(&mut self) -> io::Result<()> {
        IN_FORCE.store(true, Ordering::SeqCst);
        // Whoever ran while we were stopped may have changed the line's settings: set them from the ground up.
        disable_raw_mode()?;
        enable_raw_mode()?;
        let backend = self.terminal.backend_mut();
        queue!(backend, EnterAlternateScreen, EnableBracketedPaste, EnableFocusChange)?;
        if self.mouse == Mouse::Followed {
            queue!(backend, EnableMouseCapture)?;
        }
        // Terminal::clear would ask the terminal for its cursor and wait behind the thread that reads the keys.
        let size = self.terminal.size()?;
        self.terminal.resize(Rect::from((Position::ORIGIN, size)))?;
        Write::flush(self.terminal.backend_mut())
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        leave();
    }
}

/// Gives the terminal back, once; further calls do nothing.
///
/// Failures are passed over: it runs when the terminal may be gone, and nobody could be told.
pub fn leave() {
    if !IN_FORCE.swap(false, Ordering::SeqCst) {
        return;
    }
    let mut farewell = Vec::new();
    let _ = queue!(
        farewell,
        EndSynchronizedUpdate,
        ResetColor,
        DisableMouseCapture,
        DisableFocusChange,
        DisableBracketedPaste,
        LeaveAlternateScreen,
        Show
    );
    let _ = output().and_then(|mut terminal| terminal.write_all(&farewell));
    let _ = disable_raw_mode();
}

/// The terminal as a file of its own: standard output's lock may be held by a thread that is stuck.
fn output() -> io::Result<File> {
    Ok(File::from(io::stdout().as_fd().try_clone_to_owned()?))
}

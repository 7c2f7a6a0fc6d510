//! A terminal for tests: runs a program on a pseudo-terminal, types to it and reads what a person would see.
//!
//! Nothing reads in the background: every wait reads what the program wrote, so a test sees one thing after another.
//! Waits end as soon as what they wait for is there; the time limit only turns a hang into a failure.

#![allow(dead_code, reason = "each test program uses its own part of it")]
#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use std::ffi::OsStr;
use std::fs::File;
use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::os::fd::{AsRawFd, BorrowedFd};
use std::path::Path;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// Longer than any wait should take on a slow machine.
pub(crate) const LIMIT: Duration = Duration::from_secs(20);

/// What to run, where, and on what size of terminal.
pub(crate) struct Setting<'a> {
    pub(crate) columns: u16,
    pub(crate) rows: u16,
    /// The whole environment but for PATH and TERM; a TERM given here replaces `xterm-256color`.
    pub(crate) environment: &'a [(&'a str, &'a OsStr)],
    pub(crate) session: Leadership,
}

/// Whether the program leads the terminal's session, so that the kernel sends it SIGHUP when the terminal goes.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Leadership {
    Leads,
    HasNoTerminalOfItsOwn,
}

impl Default for Setting<'_> {
    fn default() -> Self {
        Self { columns: 80, rows: 24, environment: &[], session: Leadership::Leads }
    }
}

/// A program running on a terminal of its own. Dropping it kills the program.
pub(crate) struct Session {
    // Both are copies of the terminal's far end; none is left after a hang-up.
    master: Option<(Box<dyn MasterPty + Send>, File)>,
    child: Box<dyn Child + Send + Sync>,
    terminal: vt100::Parser,
    written: Vec<u8>,
    before: libc::termios,
    stalled: bool,
}

impl Session {
    /// Starts the program, with nothing of the test's own environment but PATH.
    pub(crate) fn spawn(program: &Path, arguments: &[&str], setting: &Setting<'_>) -> Self {
        let size = PtySize { rows: setting.rows, cols: setting.columns, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(program);
        command.args(arguments);
        command.env_clear();
        command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
        command.env("TERM", "xterm-256color");
        for (name, value) in setting.environment {
            command.env(name, value);
        }
        command.cwd(std::env::current_dir().unwrap());
        command.set_controlling_tty(setting.session == Leadership::Leads);

        let descriptor = pair.master.as_raw_fd().unwrap();
        // SAFETY: the master is open while it is borrowed here. Its own writer would type a line end when dropped.
        let file = File::from(unsafe { BorrowedFd::borrow_raw(descriptor) }.try_clone_to_owned().unwrap());
        let before = line_settings(&file);
        let child = pair.slave.spawn_command(command).unwrap();
        Self {
            master: Some((pair.master, file)),
            child,
            terminal: vt100::Parser::new(cells(setting.rows), cells(setting.columns), 0),
            written: Vec::new(),
            before,
            stalled: false,
        }
    }

    /// Types, in the bytes a terminal sends: `\r` for Enter, `\u{1b}[A` for the up arrow.
    pub(crate) fn keys(&mut self, keys: &str) {
        let (_, file) = self.master.as_mut().expect("the terminal is still there");
        file.write_all(keys.as_bytes()).unwrap();
    }

    /// Reads on until the text stands on the screen.
    #[track_caller]
    pub(crate) fn wait_for(&mut self, text: &str, limit: Duration) {
        self.wait_until(&format!("{text:?} on the screen"), limit, |session| session.screen().contains(text));
    }

    /// Reads on until the condition is met; `what` says in the failure what was waited for.
    #[track_caller]
    pub(crate) fn wait_until(&mut self, what: &str, limit: Duration, mut met: impl FnMut(&mut Self) -> bool) {
        let start = Instant::now();
        while !met(self) {
            assert!(start.elapsed() < limit, "waited for {what}; on the screen:\n{}", self.screen());
            self.read_for(Duration::from_millis(20));
        }
    }

    /// Reads on until the program has been quiet for a while.
    pub(crate) fn settle(&mut self) {
        while self.read_for(Duration::from_millis(400)) {}
    }

    /// Reads on until the condition is met; false when it is not met in so long.
    pub(crate) fn comes_to(&mut self, limit: Duration, mut met: impl FnMut(&Self) -> bool) -> bool {
        let start = Instant::now();
        while !met(self) {
            if start.elapsed() > limit {
                return false;
            }
            self.read_for(Duration::from_millis(20));
        }
        true
    }

    /// What stands on the screen, lines without their trailing blanks.
    pub(crate) fn screen(&self) -> String {
        self.terminal.screen().contents()
    }

    /// The terminal's state: colours, cursor, modes.
    pub(crate) fn terminal(&self) -> &vt100::Screen {
        self.terminal.screen()
    }

    /// Every byte the program has written so far.
    pub(crate) fn written(&self) -> String {
        String::from_utf8_lossy(&self.written).into_owned()
    }

    /// Gives the window another size, as dragging its corner does.
    pub(crate) fn resize(&mut self, columns: u16, rows: u16) {
        let (master, _) = self.master.as_ref().expect("the terminal is still there");
        master.resize(PtySize { rows, cols: columns, pixel_width: 0, pixel_height: 0 }).unwrap();
        self.terminal.set_size(cells(rows), cells(columns));
    }

    /// Sends the program a signal.
    pub(crate) fn kill(&self, signal: libc::c_int) {
        // SAFETY: kill touches no memory; the child is ours and not yet waited for.
        assert_eq!(unsafe { libc::kill(self.process(), signal) }, 0);
    }

    /// Takes nothing more from the program, as a terminal halted with Ctrl-S or a dead connection does.
    pub(crate) fn stall(&mut self) {
        self.stalled = true;
    }

    /// Takes the terminal away, as closing its window or losing the connection does.
    pub(crate) fn hang_up(&mut self) {
        self.master = None;
    }

    /// Waits for the program to end; its exit code, or the name of the signal that killed it.
    #[track_caller]
    pub(crate) fn exit_status(&mut self, limit: Duration) -> Result<u32, String> {
        let mut status = None;
        self.wait_until("the program's end", limit, |session| {
            status = session.child.try_wait().unwrap();
            status.is_some()
        });
        while self.read_for(Duration::ZERO) {}
        let status = status.unwrap();
        status.signal().map_or(Ok(status.exit_code()), |signal| Err(signal.to_owned()))
    }

    /// Fails unless the terminal is as the program found it: line settings, screen, cursor, reports.
    #[track_caller]
    pub(crate) fn assert_given_back(&self) {
        let (_, file) = self.master.as_ref().expect("the terminal is still there");
        let (before, after) = (self.before, line_settings(file));
        assert_eq!(
            (before.c_iflag, before.c_oflag, before.c_cflag, before.c_lflag, before.c_cc),
            (after.c_iflag, after.c_oflag, after.c_cflag, after.c_lflag, after.c_cc),
            "line settings"
        );
        let screen = self.terminal();
        assert!(!screen.alternate_screen(), "still on the alternate screen");
        assert!(!screen.hide_cursor(), "the cursor is hidden");
        assert!(!screen.bracketed_paste(), "pastes are still marked");
        assert_eq!(screen.mouse_protocol_mode(), vt100::MouseProtocolMode::None);
        assert_eq!((screen.fgcolor(), screen.bgcolor()), (vt100::Color::Default, vt100::Color::Default));
        // Private modes 1004 (focus reports) and 2026 (synchronized output), which the parser does not follow.
        let written = self.written();
        for mode in ["1004", "2026"] {
            let last = |end: char| written.rfind(&format!("\u{1b}[?{mode}{end}"));
            assert!(last('h') <= last('l'), "mode {mode} is still on");
        }
    }

    fn process(&self) -> libc::pid_t {
        self.child.process_id().and_then(|id| id.try_into().ok()).unwrap()
    }

    /// Reads a piece of what the program writes, waiting so long for it; false when none came.
    fn read_for(&mut self, patience: Duration) -> bool {
        let Some((_, file)) = self.master.as_mut().filter(|_| !self.stalled) else {
            std::thread::sleep(patience);
            return false;
        };
        let milliseconds = libc::c_int::try_from(patience.as_millis()).unwrap();
        let mut asked = libc::pollfd { fd: file.as_raw_fd(), events: libc::POLLIN, revents: 0 };
        // SAFETY: one pollfd that outlives the call.
        if unsafe { libc::poll(&raw mut asked, 1, milliseconds) } < 1 {
            return false;
        }
        let mut bytes = [0; 4096];
        // Reading fails once no program has the terminal open any more, and polling then no longer waits.
        let Ok(length @ 1..) = file.read(&mut bytes) else {
            std::thread::sleep(patience);
            return false;
        };
        self.written.extend_from_slice(&bytes[..length]);
        self.terminal.process(&bytes[..length]);
        true
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        if matches!(self.child.try_wait(), Ok(None)) {
            self.kill(libc::SIGKILL);
            let _ = self.child.wait();
        }
    }
}

fn cells(count: u16) -> NonZeroU16 {
    NonZeroU16::new(count).expect("a terminal has at least one cell")
}

fn line_settings(terminal: &File) -> libc::termios {
    let mut settings = std::mem::MaybeUninit::uninit();
    // SAFETY: the descriptor is an open terminal, and the settings are read only after tcgetattr has filled them.
    unsafe {
        assert_eq!(libc::tcgetattr(terminal.as_raw_fd(), settings.as_mut_ptr()), 0);
        settings.assume_init()
    }
}

//! Signals as flags and as something to wait for: Ctrl-C, SIGTERM, SIGHUP.
//!
//! While a [`Listening`] is held they set a flag and wake a waiting poll; afterwards they act as they always do.
//! SIGTERM and SIGHUP are looked at before SIGINT, because a library that reads keys raises SIGINT by itself
//! whenever a signal wakes it. The size of the window is never listened to.

use std::io::{self, Read, stdin};
use std::os::unix::net::UnixStream;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, OnceLock};
use std::time::Duration;

use rustix::event::{PollFd, PollFlags, Timespec, poll};
use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
use signal_hook::{flag, low_level::pipe};

use crate::talk::Leave;

/// Every flag, set up once for the whole process.
#[derive(Debug)]
struct Flags {
    interrupt: Arc<AtomicBool>,
    terminate: Arc<AtomicBool>,
    hang_up: Arc<AtomicBool>,
    /// Nobody listens: signals act as usual.
    at_rest: Arc<AtomicBool>,
    listeners: AtomicUsize,
    woken: UnixStream,
}

static FLAGS: OnceLock<Option<Flags>> = OnceLock::new();

impl Flags {
    fn set_up() -> io::Result<Self> {
        let (woken, wakes) = UnixStream::pair()?;
        woken.set_nonblocking(true)?;
        let new = || Arc::new(AtomicBool::new(false));
        let flags = Self {
            interrupt: new(),
            terminate: new(),
            hang_up: new(),
            at_rest: Arc::new(AtomicBool::new(true)),
            listeners: AtomicUsize::new(0),
            woken,
        };
        for (signal, set) in [(SIGINT, &flags.interrupt), (SIGTERM, &flags.terminate), (SIGHUP, &flags.hang_up)] {
            flag::register_conditional_default(signal, Arc::clone(&flags.at_rest))?;
            flag::register(signal, Arc::clone(set))?;
            pipe::register(signal, wakes.try_clone()?)?;
        }
        Ok(flags)
    }
}

/// Signals are heard while one of these is held.
#[derive(Debug)]
pub struct Listening(&'static Flags);

impl Listening {
    /// Begins to listen; `None` where the system does not let us.
    pub fn begin() -> Option<Self> {
        let flags = FLAGS.get_or_init(|| Flags::set_up().ok()).as_ref()?;
        flags.listeners.fetch_add(1, Ordering::SeqCst);
        flags.at_rest.store(false, Ordering::SeqCst);
        Some(Self(flags))
    }

    /// How the person leaves, if a signal came. It stays so.
    pub fn leave(&self) -> Option<Leave> {
        let came = |flag: &AtomicBool| flag.load(Ordering::SeqCst);
        if came(&self.0.terminate) {
            Some(Leave::Terminate)
        } else if came(&self.0.hang_up) {
            Some(Leave::HangUp)
        } else {
            came(&self.0.interrupt).then_some(Leave::Interrupt)
        }
    }

    /// Ctrl-C was meant for another program, such as an editor.
    pub fn forget_interrupt(&self) {
        self.0.interrupt.store(false, Ordering::SeqCst);
        self.drain();
    }

    fn drain(&self) {
        let mut wakes = [0; 64];
        while (&self.0.woken).read(&mut wakes).is_ok_and(|count| count == wakes.len()) {}
    }
}

impl Clone for Listening {
    fn clone(&self) -> Self {
        self.0.listeners.fetch_add(1, Ordering::SeqCst);
        Self(self.0)
    }
}

impl Drop for Listening {
    fn drop(&mut self) {
        if self.0.listeners.fetch_sub(1, Ordering::SeqCst) == 1 {
            self.0.at_rest.store(true, Ordering::SeqCst);
        }
    }
}

/// Waits until there is something to read from standard input; `false` when the time is over.
pub fn wait_for(listening: &Listening, time: Option<Duration>) -> Result<bool, Leave> {
    let stdin = stdin();
    let time = time.and_then(|time| Timespec::try_from(time).ok());
    loop {
        if let Some(leave) = listening.leave() {
            return Err(leave);
        }
        let mut both = [PollFd::new(&stdin, PollFlags::IN), PollFd::new(&listening.0.woken, PollFlags::IN)];
        match poll(&mut both, time.as_ref()) {
            Ok(0) => return Ok(false),
            Ok(_) if !both[0].revents().is_empty() && both[1].revents().is_empty() => return Ok(true),
            Ok(_) => listening.drain(),
            Err(rustix::io::Errno::INTR) => {}
            Err(_) => return Err(Leave::HangUp),
        }
    }
}

//! The surroundings: environment, clock, terminal. Read once, here; everything below gets values.

use std::io::{IsTerminal, stdin, stdout};
use std::path::PathBuf;

use clap::CommandFactory;
use etcetera::base_strategy::{BaseStrategy, choose_native_strategy};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};

use crate::cli::{Cli, Everywhere};
use crate::talk::Talk;
use crate::talk::plain::Plain;
use crate::talk::terminal::Terminal;

use super::{Ending, out};

/// What the program finds around it.
#[derive(Clone, Debug)]
pub struct Surroundings {
    pub home: PathBuf,
    /// It was named on the command line, and has to be named again next time.
    pub home_named: bool,
    pub questions: Option<PathBuf>,
    pub today: Date,
    /// The clock stands where it can't be: before the program was built, or a lifetime after.
    pub clock_is_off: bool,
    pub plain: bool,
    pub color: bool,
    /// Columns to write in where nobody is asked.
    pub columns: usize,
}

impl Surroundings {
    /// Reads them.
    ///
    /// # Errors
    /// There is no place to keep interviews.
    pub fn read(everywhere: &Everywhere) -> Result<Self, String> {
        let named = everywhere
            .home
            .clone()
            .or_else(|| std::env::var_os("SKEG_HOME").filter(|home| !home.is_empty()).map(PathBuf::from));
        let home = match named {
            Some(home) => home,
            None => choose_native_strategy()
                .map_err(|_| "there is no home folder to keep interviews in: name one with --home DIR".to_owned())?
                .data_dir()
                .join("skeg"),
        };
        let no_color = everywhere.no_color || std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        if no_color {
            console::set_colors_enabled(false);
            console::set_colors_enabled_stderr(false);
        }
        let columns = if stdout().is_terminal() {
            usize::from(console::Term::stdout().size().1)
        } else {
            std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok()).unwrap_or(80)
        };
        let today = Timestamp::now().to_zoned_datetime(local_zone()).date();
        Ok(Self {
            home,
            home_named: everywhere.home.is_some(),
            questions: everywhere.questions.clone(),
            today,
            clock_is_off: is_off(today),
            plain: everywhere.plain,
            color: !no_color,
            columns: columns.clamp(20, 100),
        })
    }

    /// Someone to talk with: the terminal where there is one, else plain lines, with a word why.
    #[must_use]
    pub fn talk(&self) -> Box<dyn Talk> {
        if self.plain || !stdin().is_terminal() {
            return Box::new(Plain::open(self.columns));
        }
        match Terminal::open(self.color) {
            Ok(terminal) => Box::new(terminal),
            Err(why) => {
                out::aside(&why.to_string());
                Box::new(Plain::open(self.columns))
            }
        }
    }

    /// Whether somebody can be asked here.
    #[must_use]
    pub fn can_ask() -> bool {
        stdin().is_terminal()
    }
}

/// The zone of the place. Where a file says it, that file alone is read: to find the zone's name, which nobody needs
/// here, the library would walk the whole database of zones.
fn local_zone() -> TimeZone {
    let named = std::env::var_os("TZ").is_some();
    let said = || std::fs::read("/etc/localtime").ok();
    let read = (cfg!(unix) && !named).then(said).flatten();
    read.and_then(|bytes| TimeZone::tzif("local", &bytes).ok()).unwrap_or_else(TimeZone::system)
}

/// Whether a day can't be today. Two days of grace, for time zones.
fn is_off(today: Date) -> bool {
    let seconds = env!("SKEG_BUILT_AT").parse().unwrap_or(0);
    let built = Timestamp::from_second(seconds).map(|at| at.to_zoned_datetime(TimeZone::UTC).date());
    built.is_ok_and(|built| {
        let grace = built.checked_sub(2.days()).unwrap_or(built);
        today < grace || today.year() > built.year().saturating_add(50)
    })
}

/// Prints completions for a shell.
pub fn completions(shell: clap_complete::Shell) -> Result<Ending, String> {
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "skeg", &mut bytes);
    out::print(&String::from_utf8_lossy(&bytes)).map(|()| Ending::Done)
}

/// Prints the manual page.
pub fn man() -> Result<Ending, String> {
    let mut bytes = Vec::new();
    clap_mangen::Man::new(Cli::command()).render(&mut bytes).map_err(|error| error.to_string())?;
    out::print(&String::from_utf8_lossy(&bytes)).map(|()| Ending::Done)
}

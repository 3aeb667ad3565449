//! What a measure is: one definition, from which its name, unit, words, what it reads and its sentence follow.
//!
//! A family file defines its measures with [`measure!`]: the handles it binds are what it reads, so there is no second
//! list to keep in step. The body sees nothing but what was bound.

use jiff::civil::Date;

use crate::answers::{Live, Reads, Standing};
use crate::knowledge::roles::{AnyRole, Role};
use crate::knowledge::{MeasureFacts, Settings};
use crate::units::{Fraction, Horsepower, Hours, Inches, Mph, Pounds, Psi, Volts, Years};

use super::absent::Absent;
use super::worked::Measured;

/// A measure's figure: a number in its unit, or a word.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Figure {
    Number(f64),
    Word(&'static str),
}

/// What a measure may be worked out from.
pub struct Seen<'l, 'a> {
    pub live: &'l Live<'a>,
    pub date: Date,
}

impl Seen<'_, '_> {
    /// The value of a role, or that there is none.
    pub fn need<K: Reads>(&self, role: Role<K>) -> Result<K::Out<'_>, Absent> {
        self.live.get(role).ok_or_else(|| {
            let asked = self.live.standing(self.live.knowledge.ask(role.any)) != Standing::DoesNotApply;
            Absent::Answer { role: role.any, asked }
        })
    }

    /// The value of a role a measure can do without.
    #[must_use]
    pub fn may<K: Reads>(&self, role: Role<K>) -> Option<K::Out<'_>> {
        self.live.get(role)
    }

    /// What stands beside the answers.
    #[must_use]
    pub fn around(&self) -> Around<'_> {
        Around { date: self.date, settings: &self.live.knowledge.settings }
    }
}

/// The interview's date and the settings of the data.
pub struct Around<'s> {
    pub date: Date,
    pub settings: &'s Settings,
}

/// Anything worked out from answers, whether or not it is shown.
pub trait Definition {
    type Out;
    /// Every question it may read.
    fn reads(all: &mut Vec<AnyRole>);
    /// The questions it can't do without: where one of them is not asked, the measure is not there.
    fn needs(all: &mut Vec<AnyRole>);
    fn work(seen: &Seen<'_, '_>) -> Measured<Self::Out>;
}

/// A definition with a name in the data and in JSON.
pub trait Shown: Definition<Out: Figured> {
    const NAME: &'static str;
    const TITLE: &'static str;
    const UNIT: &'static str;
}

/// What can be shown as a figure.
pub trait Figured {
    /// The words it can be; none for a number.
    const WORDS: &'static [&'static str];
    fn figure(&self) -> Figure;
}

macro_rules! numbers {
    ($($type:ty),+) => {$(
        impl Figured for $type {
            const WORDS: &'static [&'static str] = &[];
            fn figure(&self) -> Figure {
                Figure::Number(self.0)
            }
        }
    )+};
}
numbers!(Inches, Horsepower, Pounds, Psi, Fraction, Mph, Volts, Hours, Years);

/// One measure among all, its type forgotten.
#[derive(Clone, Copy)]
pub struct Measure {
    pub name: &'static str,
    pub title: &'static str,
    unit: &'static str,
    words: &'static [&'static str],
    reads: fn(&mut Vec<AnyRole>),
    needs: fn(&mut Vec<AnyRole>),
    /// The figure without its sentence.
    pub figure: fn(&Seen<'_, '_>) -> Option<Figure>,
    /// The figure with its sentence, or why there is none.
    pub told: fn(&Seen<'_, '_>) -> Result<(Figure, String), Absent>,
}

impl Measure {
    #[must_use]
    pub const fn of<D: Shown>() -> Self {
        Self {
            name: D::NAME,
            title: D::TITLE,
            unit: D::UNIT,
            words: <D::Out as Figured>::WORDS,
            reads: D::reads,
            needs: D::needs,
            figure: figure_of::<D>,
            told: told_of::<D>,
        }
    }

    /// What the question data has to know of it.
    #[must_use]
    pub fn facts(&self) -> MeasureFacts {
        let gathered = |gather: fn(&mut Vec<AnyRole>)| {
            let mut all = Vec::new();
            gather(&mut all);
            all.sort_unstable();
            all.dedup();
            all
        };
        MeasureFacts {
            name: self.name,
            title: self.title,
            unit: self.unit,
            words: self.words,
            reads: gathered(self.reads),
            needs: gathered(self.needs),
        }
    }
}

fn figure_of<D: Shown>(seen: &Seen<'_, '_>) -> Option<Figure> {
    D::work(seen).ok().map(|worked| worked.value.figure())
}

fn told_of<D: Shown>(seen: &Seen<'_, '_>) -> Result<(Figure, String), Absent> {
    D::work(seen).map(|worked| (worked.value.figure(), worked.how()))
}

/// Defines a measure. `needs`: answers without which there is none. `may`: answers it can do without. `from`: other
/// measures it builds on; `perhaps`: others it can do without. The body is a closure over the interview's date and
/// the settings, and sees nothing else but what was bound.
macro_rules! measure {
    (
        $(#[$doc:meta])*
        $name:ident -> $out:ty $(, $id:literal, $title:literal, $unit:literal)?;
        $(needs { $($need:ident: $need_role:expr),+ $(,)? })?
        $(may { $($may:ident: $may_role:expr),+ $(,)? })?
        $(from { $($from:ident: $from_one:ty),+ $(,)? })?
        $(perhaps { $($perhaps:ident: $perhaps_one:ty),+ $(,)? })?
        |$around:pat_param| $body:expr
    ) => {
        $(#[$doc])*
        pub struct $name;

        impl $crate::measure::Definition for $name {
            type Out = $out;

            fn reads(all: &mut Vec<$crate::knowledge::roles::AnyRole>) {
                $($(all.push($need_role.any);)+)?
                $($(all.push($may_role.any);)+)?
                $($(<$from_one as $crate::measure::Definition>::reads(all);)+)?
                $($(<$perhaps_one as $crate::measure::Definition>::reads(all);)+)?
            }

            fn needs(all: &mut Vec<$crate::knowledge::roles::AnyRole>) {
                $($(all.push($need_role.any);)+)?
                $($(<$from_one as $crate::measure::Definition>::needs(all);)+)?
                let _ = all;
            }

            fn work(seen: &$crate::measure::Seen<'_, '_>) -> $crate::measure::Measured<$out> {
                $($(let $need = seen.need($need_role)?;)+)?
                $($(let $may = seen.may($may_role);)+)?
                $($(let $from = <$from_one as $crate::measure::Definition>::work(seen)?;)+)?
                $($(let $perhaps = <$perhaps_one as $crate::measure::Definition>::work(seen);)+)?
                let $around = seen.around();
                $body
            }
        }

        $(impl $crate::measure::Shown for $name {
            const NAME: &'static str = $id;
            const TITLE: &'static str = $title;
            const UNIT: &'static str = $unit;
        })?
    };
}
pub(super) use measure;

/// The words of an enum, as they stand in the data and in JSON.
macro_rules! words {
    ($type:ty { $($variant:ident = $word:literal),+ $(,)? }) => {
        impl $type {
            /// The word used in the data and in JSON.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$variant => $word),+
                }
            }
        }

        impl $crate::measure::Figured for $type {
            const WORDS: &'static [&'static str] = &[$($word),+];

            fn figure(&self) -> $crate::measure::Figure {
                $crate::measure::Figure::Word(self.name())
            }
        }
    };
}
pub(super) use words;

/// Yes or no, as a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum YesNo {
    Yes,
    No,
}
words!(YesNo { Yes = "yes", No = "no" });

impl From<bool> for YesNo {
    fn from(yes: bool) -> Self {
        if yes { Self::Yes } else { Self::No }
    }
}

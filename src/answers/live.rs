//! The answers that count at a point of the path: what stands there, or why nothing does.

use crate::knowledge::roles::{
    self, Amount, Answered, Any, AnyRole, AsTyped, Choices, Count, Currency, CylinderGroups, EachOf, EngineFamily,
    Money, NumberText, One, Prices, Ratio, Readings, Role, Year,
};
use crate::knowledge::{ChoiceId, Knowledge, QuestionIx};
use crate::units::{Dimensioned, Quantity};

use super::value::{Each, Value};

/// How a question stands once the path has come past it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Standing<'a> {
    /// On the path with a value.
    Value(&'a Value),
    /// On the path, nothing known; `Some` names the choice it reads as meanwhile.
    Silent(Option<&'a ChoiceId>),
    /// Shut by an early end or a gate, or nobody can say whether it applies.
    MayApply,
    /// Not asked of this motor and this boat.
    DoesNotApply,
}

/// The standing of every question the path has come past; later ones may still apply.
#[derive(Clone, Debug)]
pub struct Live<'a> {
    pub knowledge: &'a Knowledge,
    standings: Vec<Standing<'a>>,
}

impl<'a> Live<'a> {
    /// Nothing known yet.
    #[must_use]
    pub fn new(knowledge: &'a Knowledge) -> Self {
        Self { knowledge, standings: vec![Standing::MayApply; knowledge.questions.len()] }
    }

    /// Notes how a question stands.
    pub fn set(&mut self, ix: QuestionIx, standing: Standing<'a>) {
        self.standings[ix.0] = standing;
    }

    /// How a question stands.
    #[must_use]
    pub fn standing(&self, ix: QuestionIx) -> Standing<'a> {
        self.standings[ix.0]
    }

    /// The value of a question, where it has one.
    #[must_use]
    pub fn value(&self, role: AnyRole) -> Option<&'a Value> {
        match self.standing(self.knowledge.ask(role)) {
            Standing::Value(value) => Some(value),
            _ => None,
        }
    }

    /// The value of a role, in its own type.
    #[must_use]
    pub fn get<K: Reads>(&self, role: Role<K>) -> Option<K::Out<'a>> {
        self.value(role.any).and_then(K::read)
    }

    /// The number of cylinders, where it is known.
    #[must_use]
    pub fn cylinders(&self) -> Option<usize> {
        self.get(roles::CYLINDERS).and_then(|count| usize::try_from(count).ok())
    }
}

/// A kind of role whose value can be read.
pub trait Reads: Answered {
    type Out<'v>;
    /// The value in the role's own type; none where it is of another kind, which the data's check rules out.
    fn read(value: &Value) -> Option<Self::Out<'_>>;
}

impl<C: Choices> Reads for One<C> {
    type Out<'v> = C;
    fn read(value: &Value) -> Option<C> {
        match value {
            Value::One(choice) => Some(C::of_name(choice.as_str())),
            _ => None,
        }
    }
}

impl<C: Choices> Reads for EachOf<C> {
    type Out<'v> = Each<C>;
    fn read(value: &Value) -> Option<Each<C>> {
        let known = |choice: &ChoiceId| C::of_name(choice.as_str());
        match value {
            Value::Each(Each::All(choice)) => Some(Each::All(known(choice))),
            Value::Each(Each::Listed(choices)) => Some(Each::Listed(choices.iter().map(known).collect())),
            _ => None,
        }
    }
}

impl<T: Dimensioned> Reads for Amount<T> {
    type Out<'v> = T;
    fn read(value: &Value) -> Option<T> {
        match value {
            Value::Amount(quantity) => T::try_from(*quantity).ok(),
            _ => None,
        }
    }
}

impl<T: Dimensioned> Reads for AsTyped<T> {
    type Out<'v> = Quantity;
    fn read(value: &Value) -> Option<Quantity> {
        match value {
            Value::Amount(quantity) => Some(*quantity),
            _ => None,
        }
    }
}

impl<T: Dimensioned> Reads for Readings<T> {
    type Out<'v> = Vec<Option<T>>;
    fn read(value: &Value) -> Option<Vec<Option<T>>> {
        match value {
            Value::Readings(readings) => Some(
                readings.iter().map(|reading| reading.and_then(|quantity| T::try_from(quantity).ok())).collect(),
            ),
            _ => None,
        }
    }
}

macro_rules! reads {
    ($($kind:ident: $out:ty, $pattern:pat => $value:expr;)+) => {$(
        impl Reads for $kind {
            type Out<'v> = $out;
            fn read(value: &Value) -> Option<$out> {
                match value {
                    $pattern => $value,
                    _ => None,
                }
            }
        }
    )+};
}
reads! {
    Ratio: f64, Value::Amount(quantity) => Some(quantity.house());
    Count: u32, Value::Count(count) => Some(*count);
    Year: i16, Value::Year(year) => Some(*year);
    Money: f64, Value::Money(money) => Some(*money);
}

macro_rules! borrows {
    ($($kind:ident: $out:ty, $pattern:pat => $value:expr;)+) => {$(
        impl Reads for $kind {
            type Out<'v> = &'v $out;
            fn read(value: &Value) -> Option<&$out> {
                match value {
                    $pattern => $value,
                    _ => None,
                }
            }
        }
    )+};
}
borrows! {
    Prices: [f64], Value::Prices(prices) => Some(prices);
    NumberText: str, Value::Text(text) => Some(text);
    CylinderGroups: str, Value::Text(text) => Some(text);
    EngineFamily: str, Value::Text(text) => Some(text);
    Currency: str, Value::Text(text) => Some(text);
}

impl Reads for Any {
    type Out<'v> = &'v Value;
    fn read(value: &Value) -> Option<&Value> {
        Some(value)
    }
}

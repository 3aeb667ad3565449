//! Every question, choice, fault and item the code speaks of: the contract between the program and the question data.
//!
//! A [`Role`] is a typed handle: the kind of answer it stands for is part of its type, and the choices the code tells
//! apart are an enum. All are looked up once when the data is loaded; one that is missing, is of another kind or lacks
//! a choice is a problem of the data like any other. Outside this file no id stands as a text in the program.

use std::marker::PhantomData;

use super::model::TextForm;
use crate::units::{
    Degrees, Dimension, Dimensioned, Fraction, Horsepower, Hours, Inches, Metres, Mph, Pounds, Psi, Rpm, Volts,
};

/// What the question of a role must be able to answer.
#[derive(Clone, Copy, Debug)]
pub enum Wanted {
    /// One choice, among them these.
    One(&'static [&'static str]),
    /// One choice a cylinder, among them these.
    Each(&'static [&'static str]),
    Amount(fn() -> Dimension),
    Readings(fn() -> Dimension),
    Count,
    Year,
    Money,
    Prices,
    Text(TextForm),
    /// Whatever it answers: the code only prints it.
    Any,
}

/// The kind of answer a role stands for.
pub trait Answered {
    const WANTED: Wanted;
}

/// Choices the code tells apart.
pub trait Choices: Copy + PartialEq + 'static {
    const NAMES: &'static [&'static str];
    /// The choice of that name; any other the data has is `Other`.
    fn of_name(name: &str) -> Self;
}

/// One choice, as an enum.
#[derive(Clone, Copy, Debug)]
pub struct One<C>(PhantomData<C>);
/// One choice a cylinder, as an enum.
#[derive(Clone, Copy, Debug)]
pub struct EachOf<C>(PhantomData<C>);
/// An amount, read in the unit of the type.
#[derive(Clone, Copy, Debug)]
pub struct Amount<T>(PhantomData<T>);
/// Amounts, one a cylinder.
#[derive(Clone, Copy, Debug)]
pub struct Readings<T>(PhantomData<T>);
/// An amount as the buyer typed it, in the buyer's own unit.
#[derive(Clone, Copy, Debug)]
pub struct AsTyped<T>(PhantomData<T>);
/// A plain ratio.
#[derive(Clone, Copy, Debug)]
pub struct Ratio;
#[derive(Clone, Copy, Debug)]
pub struct Count;
#[derive(Clone, Copy, Debug)]
pub struct Year;
#[derive(Clone, Copy, Debug)]
pub struct Money;
#[derive(Clone, Copy, Debug)]
pub struct Prices;
/// A number with letters.
#[derive(Clone, Copy, Debug)]
pub struct NumberText;
#[derive(Clone, Copy, Debug)]
pub struct CylinderGroups;
#[derive(Clone, Copy, Debug)]
pub struct EngineFamily;
#[derive(Clone, Copy, Debug)]
pub struct Currency;
#[derive(Clone, Copy, Debug)]
pub struct Any;

impl<C: Choices> Answered for One<C> {
    const WANTED: Wanted = Wanted::One(C::NAMES);
}
impl<C: Choices> Answered for EachOf<C> {
    const WANTED: Wanted = Wanted::Each(C::NAMES);
}
impl<T: Dimensioned> Answered for Amount<T> {
    const WANTED: Wanted = Wanted::Amount(T::dimension);
}
impl<T: Dimensioned> Answered for AsTyped<T> {
    const WANTED: Wanted = Wanted::Amount(T::dimension);
}
impl<T: Dimensioned> Answered for Readings<T> {
    const WANTED: Wanted = Wanted::Readings(T::dimension);
}

macro_rules! plain {
    ($($kind:ident = $wanted:expr;)+) => {
        $(impl Answered for $kind {
            const WANTED: Wanted = $wanted;
        })+
    };
}
plain! {
    Ratio = Wanted::Amount(|| Dimension::Ratio);
    Count = Wanted::Count;
    Year = Wanted::Year;
    Money = Wanted::Money;
    Prices = Wanted::Prices;
    NumberText = Wanted::Text(TextForm::Number);
    CylinderGroups = Wanted::Text(TextForm::CylinderGroups);
    EngineFamily = Wanted::Text(TextForm::EngineFamily);
    Currency = Wanted::Text(TextForm::Currency);
    Any = Wanted::Any;
}

/// A question the code speaks of, whatever it answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AnyRole(u8);

impl AnyRole {
    /// Its place in [`ROLES`].
    #[must_use]
    pub fn place(self) -> usize {
        usize::from(self.0)
    }

    /// The id of its question.
    #[must_use]
    pub fn id(self) -> &'static str {
        ROLES[self.place()].id
    }
}

/// A question the code speaks of, with the kind of its answer.
#[derive(Debug)]
pub struct Role<K> {
    pub any: AnyRole,
    kind: PhantomData<K>,
}

impl<K> Clone for Role<K> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<K> Copy for Role<K> {}

/// What the data must have for a role.
#[derive(Clone, Copy, Debug)]
pub struct AboutRole {
    pub id: &'static str,
    pub wanted: Wanted,
}

macro_rules! roles {
    ($($role:ident: $kind:ty = $id:literal;)+) => {
        #[allow(non_camel_case_types, clippy::upper_case_acronyms)] // only to number them
        enum Number { $($role),+ }

        $(pub const $role: Role<$kind> = Role { any: AnyRole(Number::$role as u8), kind: PhantomData };)+

        /// All roles, each at the place its handle names.
        pub const ROLES: &[AboutRole] =
            &[$(AboutRole { id: $id, wanted: <$kind as Answered>::WANTED }),+];
    };
}

macro_rules! choices {
    ($($(#[$doc:meta])* $name:ident { $($choice:ident = $id:literal),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $name {
            $($choice,)+
            /// Any other the data has.
            Other,
        }

        impl Choices for $name {
            const NAMES: &'static [&'static str] = &[$($id),+];

            fn of_name(name: &str) -> Self {
                match name {
                    $($id => Self::$choice,)+
                    _ => Self::Other,
                }
            }
        }
    )+};
}

choices! {
    BoatKind { Monohull = "monohull", Multihull = "multihull", Inflatable = "inflatable", CanoeOrSail = "canoe-or-sail", Jet = "jet", NoneYet = "none-yet" }
    TransomMeasured { StraightDown = "straight-down", Along = "along-transom" }
    CapacityPlate { Readable = "readable", Missing = "missing" }
    HullBottom { FlatHardChine = "flat-hard-chine" }
    Steering { Cable = "wheel-cable", Hydraulic = "wheel-hydraulic" }
    Strokes { Two = "two", Four = "four" }
    Start { Rope = "rope" }
    BlockCold { Cold = "cold" }
    ThrottleReturns { ByWire = "by-wire" }
    Plug { SteamClean = "steam-clean", Blistered = "blistered" }
    SerialMatches { No = "no" }
}

roles! {
    BOAT_KIND: One<BoatKind> = "boat-kind";
    TRANSOM_HEIGHT: Amount<Inches> = "transom-height";
    TRANSOM_MEASURED: One<TransomMeasured> = "transom-measured";
    TRANSOM_RAKE: Amount<Degrees> = "transom-rake";
    SETBACK: Amount<Inches> = "setback";
    CAPACITY_PLATE: One<CapacityPlate> = "capacity-plate";
    PLATE_POWER: Amount<Horsepower> = "plate-power";
    PLATE_WEIGHT: Amount<Pounds> = "plate-weight";
    BOAT_LENGTH: Amount<Inches> = "boat-length";
    TRANSOM_WIDTH: Amount<Inches> = "transom-width";
    HULL_BOTTOM: One<HullBottom> = "hull-bottom";
    STEERING: One<Steering> = "steering";
    CLAIMED_POWER: Amount<Horsepower> = "claimed-power";
    CLAIMED_POWER_AS_TYPED: AsTyped<Horsepower> = "claimed-power";
    CLAIMED_YEAR: Year = "claimed-year";
    STROKES: One<Strokes> = "strokes";
    CYLINDERS: Count = "cylinders";
    SHARED_HEAD: CylinderGroups = "shared-head";
    SHAFT_LENGTH: Amount<Inches> = "shaft-length";
    ACCEPT_SHAFT_CHANGE: Any = "accept-shaft-change";
    MOTOR_WEIGHT: Amount<Pounds> = "motor-weight";
    START: One<Start> = "start";
    HOURS: Amount<Hours> = "hours";
    HOURS_SOURCE: Any = "hours-source";
    KEPT_IN: Any = "kept-in";
    OWNERSHIP: Any = "ownership";
    SERIAL_PLATE: Any = "serial-plate";
    SERIAL_NUMBER: NumberText = "serial-number";
    SERIAL_MATCHES: One<SerialMatches> = "serial-matches";
    LABEL_FAMILY: EngineFamily = "label-family";
    CURRENCY: Currency = "currency";
    ASKING_PRICE: Money = "asking-price";
    LABOUR_RATE: Money = "labour-rate";
    PARTS_SCALE: Ratio = "parts-scale";
    COMPARABLES: Prices = "comparables";
    INSPECTION_FEE: Money = "inspection-fee";
    OTHER_COSTS: Money = "other-costs";
    ALTITUDE: Amount<Metres> = "altitude";
    COMPRESSION_FACTORY: Amount<Psi> = "compression-factory";
    GEAR_RATIO: Ratio = "gear-ratio";
    RATED_FROM: Amount<Rpm> = "rated-from";
    RATED_TO: Amount<Rpm> = "rated-to";
    BLOCK_COLD: One<BlockCold> = "block-cold";
    VOLTS_REST: Amount<Volts> = "volts-rest";
    THROTTLE_RETURNS: One<ThrottleReturns> = "throttle-returns";
    PLUGS: EachOf<Plug> = "plugs";
    COMPRESSION: Readings<Psi> = "compression";
    COMPRESSION_AGAIN: Readings<Psi> = "compression-again";
    COMPRESSION_WET: Readings<Psi> = "compression-wet";
    LEAKDOWN: Readings<Fraction> = "leakdown";
    VOLTS_RUNNING: Amount<Volts> = "volts-running";
    VOLTS_REVS: Amount<Rpm> = "volts-revs";
    FULL_REVS: Amount<Rpm> = "full-revs";
    PROP_PITCH: Amount<Inches> = "prop-pitch";
    GPS_SPEED: Amount<Mph> = "gps-speed";
    GPS_SPEED_AS_TYPED: AsTyped<Mph> = "gps-speed";
    FUEL_SYSTEM: Any = "fuel-system";
    TRIM: Any = "trim";
    UNIT_REPORT: Any = "unit-report";
    LEAK_WHERE: Any = "leak-where";
    GEAR_PRESSURE_TEST: Any = "gear-pressure-test";
    GEAR_OIL_AFTER: Any = "gear-oil-after";
    RUN_WHERE: Any = "run-where";
    VOLTS_CRANKING: Amount<Volts> = "volts-cranking";
    HEADS_EVEN: Any = "heads-even";
    OIL_MIX: Any = "oil-mix";
    COLD_START: Any = "cold-start";
}

macro_rules! named {
    ($(#[$doc:meta])* $kind:ident, $list:ident, $number:ident: $($role:ident = $id:literal;)+) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub struct $kind(u8);

        impl $kind {
            /// Its place in the list of its kind.
            #[must_use]
            pub fn place(self) -> usize {
                usize::from(self.0)
            }
        }

        #[allow(non_camel_case_types, clippy::upper_case_acronyms)] // only to number them
        enum $number { $($role),+ }

        $(pub const $role: $kind = $kind($number::$role as u8);)+

        pub const $list: &[&str] = &[$($id),+];
    };
}

named! {
    /// A cost item the code speaks of.
    ItemRole, ITEM_ROLES, ItemNumber:
    FIRST_SERVICE = "first-service";
    INSPECTION = "inspection";
}

/// What the seller doesn't know: an answer, but one a look could better, at whatever question it stands.
pub const SELLER_DOES_NOT_KNOW: &str = "unknown";

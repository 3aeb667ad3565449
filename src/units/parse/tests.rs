use proptest::prelude::*;

use super::*;

fn length(text: &str) -> Result<Quantity, UnitError> {
    parse_quantity(text, Dimension::Length, Unit::Inch)
}

fn ratio(text: &str) -> f64 {
    parse_quantity(text, Dimension::Ratio, Unit::One).expect(text).number
}

#[test]
fn a_bare_number_takes_the_usual_unit() {
    assert_eq!(length("20"), Ok(Quantity::new(20.0, Unit::Inch)));
    let speed = parse_quantity("22", Dimension::Speed, Unit::Knot);
    assert_eq!(speed, Ok(Quantity::new(22.0, Unit::Knot)));
}

#[test]
fn every_way_of_writing_a_length_is_read() {
    let cases = [
        ("20.5 in", 20.5, Unit::Inch),
        ("20,5 in", 20.5, Unit::Inch),
        ("20 1/2 in", 20.5, Unit::Inch),
        ("20-1/2\"", 20.5, Unit::Inch),
        ("20½", 20.5, Unit::Inch),
        ("20 ½ inches", 20.5, Unit::Inch),
        ("1/2 in", 0.5, Unit::Inch),
        ("¾\"", 0.75, Unit::Inch),
        ("  508mm ", 508.0, Unit::Millimetre),
        (".5 m", 0.5, Unit::Metre),
        ("5. ft", 5.0, Unit::Foot),
        ("5'", 5.0, Unit::Foot),
        ("16 feet", 16.0, Unit::Foot),
        ("1 ft 8 in", 20.0, Unit::Inch),
        ("1'8\"", 20.0, Unit::Inch),
        ("1'8", 20.0, Unit::Inch),
        ("1’ 8 1/2”", 20.5, Unit::Inch),
        ("1' 8''", 20.0, Unit::Inch),
        ("1 m 20", 120.0, Unit::Centimetre),
        ("about 20 in", 20.0, Unit::Inch),
        ("~20", 20.0, Unit::Inch),
        ("Ca. 51 cm", 51.0, Unit::Centimetre),
    ];
    for (text, number, unit) in cases {
        assert_eq!(length(text), Ok(Quantity::new(number, unit)), "{text}");
    }
}

#[test]
fn other_dimensions_are_read_alike() {
    let cases = [
        ("15,5 hp", Dimension::Power, Quantity::new(15.5, Unit::Horsepower)),
        ("3 1/2", Dimension::Power, Quantity::new(3.5, Unit::Horsepower)),
        ("11 kW", Dimension::Power, Quantity::new(11.0, Unit::Kilowatt)),
        ("1 h 30 min", Dimension::Time, Quantity::new(90.0, Unit::Minute)),
        ("420 hrs", Dimension::Time, Quantity::new(420.0, Unit::Hour)),
        ("13°", Dimension::Angle, Quantity::new(13.0, Unit::Degree)),
        ("-5 °C", Dimension::Temperature, Quantity::new(-5.0, Unit::Celsius)),
        ("−5", Dimension::Temperature, Quantity::new(-5.0, Unit::Fahrenheit)),
        ("160 degrees", Dimension::Temperature, Quantity::new(160.0, Unit::Fahrenheit)),
        ("12.6", Dimension::Voltage, Quantity::new(12.6, Unit::Volt)),
        ("25%", Dimension::Percent, Quantity::new(25.0, Unit::Percent)),
        ("5500 revs", Dimension::Revs, Quantity::new(5500.0, Unit::RevPerMinute)),
    ];
    for (text, dimension, amount) in cases {
        let read = parse_quantity(text, dimension, dimension.house_unit());
        assert_eq!(read, Ok(amount), "{text}");
    }
}

#[test]
fn a_ratio_is_read_the_way_gearcases_are_stamped() {
    let teeth = 27.0 / 13.0;
    for (text, wanted) in [
        ("2.08", 2.08),
        ("2,08", 2.08),
        ("2.08:1", 2.08),
        ("1:2.08", 2.08),
        ("0.8:1", 0.8),
        ("27/13", teeth),
        ("13:27", teeth),
        ("27 : 13", teeth),
    ] {
        assert!((ratio(text) - wanted).abs() < 1e-15, "{text}");
    }
}

#[test]
fn a_comma_is_a_decimal_mark_even_before_three_digits() {
    let revs = parse_quantity("5,500", Dimension::Revs, Unit::RevPerMinute);
    assert_eq!(revs, Ok(Quantity::new(5.5, Unit::RevPerMinute)));
}

#[test]
fn what_is_no_amount_is_told() {
    let cases = [
        ("", "nothing was typed"),
        ("about", "nothing was typed"),
        ("nan", "\"nan\" does not begin with a number"),
        ("inf", "\"inf\" does not begin with a number"),
        ("in 20", "\"in 20\" does not begin with a number"),
        ("-20", "\"-20\" is below nought"),
        ("-0", "\"-0\" is below nought"),
        ("20 25", "\"20 25\" is not one number"),
        ("20-25", "\"20-25\" is not one number"),
        ("20 in 25 in", "\"20 in 25 in\" is not one number"),
        ("1,2,3", "\"1,2,3\" is not one number"),
        ("1.234,5", "\"1.234,5\" is not one number"),
        ("20/25 in", "\"20/25 in\" is not one number"),
        ("5/4 in", "\"5/4 in\" is not one number"),
        ("150/160", "\"150/160\" is not one number"),
        ("2.5 1/2", "\"2.5 1/2\" is not one number"),
        ("1 ft 8 cm", "\"1 ft 8 cm\" is not one number"),
        ("1/0 in", "\"1/0 in\" divides by nought"),
        ("20 1/0 in", "\"20 1/0 in\" divides by nought"),
        ("20 furlongs", "\"furlongs\" in \"20 furlongs\" is no unit known here"),
        ("1e3", "\"e3\" in \"1e3\" is no unit known here"),
        ("20 psi", "\"20 psi\" is a pressure"),
        ("15 lb 3", "\"15 lb 3\" is not one number"),
    ];
    for (text, said) in cases {
        let told = length(text).expect_err(text).to_string();
        assert_eq!(told, format!("{said}; wanted is a length (in, ft, cm, mm or m)"));
    }
}

#[test]
fn a_number_beyond_all_numbers_is_told() {
    let text = "9".repeat(400);
    assert!(matches!(length(&text), Err(UnitError::TooLarge { .. })));
    let near = format!("{} ft", "9".repeat(308));
    assert!(matches!(length(&near), Err(UnitError::TooLarge { .. })));
}

fn any_unit() -> impl Strategy<Value = Unit> {
    proptest::sample::select(Unit::ALL.to_vec())
}

proptest! {
    #[test]
    fn a_printed_amount_typed_again_is_the_same(number in 0.0..1e12_f64, unit in any_unit()) {
        let amount = Quantity::new(number, unit);
        let usual = unit.dimension().units().last().copied().unwrap_or(unit);
        prop_assert_eq!(parse_quantity(&amount.to_string(), unit.dimension(), usual), Ok(amount));
    }

    #[test]
    fn any_finite_number_survives_printing(bits in any::<u64>(), unit in any_unit()) {
        let number = f64::from_bits(bits).abs();
        prop_assume!(number < 1e300);
        let amount = Quantity::new(number, unit);
        prop_assert_eq!(parse_quantity(&amount.to_string(), unit.dimension(), unit), Ok(amount));
    }

    #[test]
    fn an_amount_survives_every_other_unit(number in 1e-3..1e6_f64, unit in any_unit()) {
        let amount = Quantity::new(number, unit);
        for other in unit.dimension().units() {
            let back = amount.to(*other).to(unit).number;
            prop_assert!((back - number).abs() <= 1e-12 * number.max(500.0), "{} {:?}", back, other);
        }
    }

    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,12}") {
        for dimension in Dimension::ALL {
            if let Ok(amount) = parse_quantity(&text, dimension, dimension.house_unit()) {
                prop_assert_eq!(amount.dimension(), dimension);
                prop_assert!(amount.house().is_finite());
            }
        }
    }

    #[test]
    fn amounts_made_of_likely_signs_never_panic(text in "[0-9 .,/:'\"½inft-]{0,10}") {
        if let Ok(amount) = length(&text) {
            prop_assert!(amount.number >= 0.0 && amount.house().is_finite());
        }
    }
}

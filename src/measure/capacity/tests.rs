use proptest::prelude::*;

use super::*;

fn boat(length_ft: f64, width_ft: f64) -> Boat {
    Boat {
        kind: Some(BoatKind::Monohull),
        length: Some(Inches(length_ft * 12.0)),
        width: Some(Inches(width_ft * 12.0)),
        bottom: Some(HullBottom::Other),
        wheel: Some(false),
        transom_height: Some(Inches(20.0)),
    }
}

fn flat(boat: Boat) -> Boat {
    Boat { bottom: Some(HullBottom::FlatHardChine), ..boat }
}

fn wheel(boat: Boat, transom: f64) -> Boat {
    Boat { wheel: Some(true), transom_height: Some(Inches(transom)), ..boat }
}

fn limits(boat: Boat) -> (f64, f64) {
    let found = rule_limit(&boat).expect("a limit").value;
    (found.computed.0, found.limit.0)
}

fn close(found: (f64, f64), wanted: (f64, f64)) {
    let off = (found.0 - wanted.0).abs() + (found.1 - wanted.1).abs();
    assert!(off < 1e-9, "{found:?} is not {wanted:?}");
}

// 33 CFR 183.53(a), read; the first is a worked example printed beside the rule.
#[test]
fn the_printed_example_gives_185() {
    let found = rule_limit(&wheel(boat(19.5, 7.0), 20.0)).expect("a limit");
    close((found.value.computed.0, found.value.limit.0), (183.0, 185.0));
    assert!((found.value.factor - 136.5).abs() < 1e-9);
    assert_eq!(
        found.how(),
        "length 19.5 ft x width 7 ft = factor 136.5; wheel steering and a transom of 20 in or more: \
         2 x 136.5 - 90 = 183 hp by 33 CFR 183.53, may be raised to 185 hp"
    );
}

// 33 CFR 183.53(a), read; figures worked out by its formulas.
#[test]
fn the_three_formulas_and_the_raise() {
    let large = boat(16.0, 6.0);
    close(limits(wheel(large, 20.0)), (102.0, 105.0));
    close(limits(wheel(large, 15.0)), (51.8, 55.0));
    close(limits(flat(large)), (33.0, 35.0));
    let middle = boat(14.0, 4.5);
    close(limits(middle), (25.4, 30.0));
    close(limits(flat(middle)), (16.5, 20.0));
    close(limits(wheel(middle, 20.0)), (36.0, 40.0));
}

// 33 CFR 183.53(a), read: the table and the note on flat bottoms.
#[test]
fn the_table_and_the_step_for_a_flat_bottom() {
    let small = boat(12.0, 3.5);
    close(limits(small), (7.5, 7.5));
    close(limits(flat(small)), (5.0, 5.0));
    close(limits(boat(10.0, 3.5)), (3.0, 3.0));
    close(limits(boat(10.5, 5.0)), (15.0, 15.0));
    let none = rule_limit(&flat(boat(10.0, 3.5)));
    assert!(none.expect_err("no row").to_string().contains("one row less"));
}

#[test]
fn a_factor_of_52_and_a_half_belongs_to_the_last_row() {
    close(limits(flat(boat(10.5, 5.0))), (10.0, 10.0));
    close(limits(boat(10.0, 5.22)), (15.0, 15.0));
    let over = limits(boat(10.0, 5.251));
    close(over, (0.8 * 52.51 - 25.0, 20.0));
}

#[test]
fn the_table_takes_the_nearest_whole_factor() {
    close(limits(boat(10.0, 3.549)), (3.0, 3.0));
    close(limits(boat(10.0, 3.551)), (5.0, 5.0));
}

#[test]
fn a_multiple_of_five_is_not_raised() {
    close(limits(wheel(boat(10.0, 7.0), 20.0)), (50.0, 50.0));
}

#[test]
fn boats_the_rule_leaves_out_get_no_figure() {
    for kind in [BoatKind::Multihull, BoatKind::Inflatable, BoatKind::CanoeOrSail, BoatKind::Jet, BoatKind::NoneYet]
    {
        let outside = Boat { kind: Some(kind), ..boat(16.0, 6.0) };
        assert!(rule_limit(&outside).is_err(), "{kind:?}");
    }
    let long = rule_limit(&boat(20.0, 7.0));
    assert_eq!(long, Err(Absent::LeftOut("the rule is for boats under 20 ft")));
}

#[test]
fn only_what_the_case_needs_is_asked_for() {
    let remote = Boat { bottom: None, ..wheel(boat(16.0, 6.0), 20.0) };
    assert!(rule_limit(&remote).is_ok());
    let low = Boat { wheel: None, transom_height: Some(Inches(15.0)), ..boat(16.0, 6.0) };
    assert!(rule_limit(&low).is_ok());
    let small = Boat { wheel: None, transom_height: None, ..boat(12.0, 3.5) };
    assert!(rule_limit(&small).is_ok());
}

#[test]
fn a_missing_input_is_named_and_never_assumed() {
    let whole = boat(16.0, 6.0);
    let cases = [
        (Boat { kind: None, ..whole }, "kind of boat"),
        (Boat { length: None, ..whole }, "length"),
        (Boat { width: None, ..whole }, "width"),
        (Boat { bottom: None, ..whole }, "bottom"),
        (Boat { wheel: None, ..whole }, "steered"),
        (Boat { transom_height: None, ..wheel(whole, 20.0) }, "transom height"),
    ];
    for (missing, word) in cases {
        let reason = rule_limit(&missing).expect_err(word).to_string();
        assert!(reason.contains(word), "{reason}");
    }
}

#[test]
fn the_driving_test_is_named_for_short_boats_only() {
    let how = |boat| rule_limit(&boat).expect("a limit").how();
    assert!(how(boat(13.0, 5.0)).contains("paragraph (b)"));
    assert!(!how(boat(13.1, 5.0)).contains("paragraph (b)"));
}

#[test]
fn the_plate_wins() {
    let rule = rule_limit(&boat(16.0, 6.0));
    let plate = power_limit(Some(Horsepower(40.0)), rule.clone()).expect("a limit");
    assert_eq!(plate.value.limit, Horsepower(40.0));
    assert!(plate.value.from_plate);
    let found = power_limit(None, rule).expect("a limit");
    assert_eq!(found.value.limit, Horsepower(55.0));
    let none = power_limit(None, Err(Absent::LeftOut("the rule leaves out inflatables")));
    let told = none.expect_err("no limit").to_string();
    assert_eq!(told, "no plate figure, and the rule leaves out inflatables");
}

#[test]
fn over_begins_two_per_cent_above_the_limit() {
    let limit = PowerLimit { limit: Horsepower(50.0), from_plate: true };
    let judged = |claimed| power(Horsepower(claimed), &limit).expect("a power").value;
    assert_eq!(judged(50.0), Power::Within);
    assert_eq!(judged(51.0), Power::Within);
    assert_eq!(judged(51.01), Power::Over);
    assert_eq!(judged(60.0).name(), "over");
}

proptest! {
    #[test]
    fn a_larger_boat_is_never_allowed_less(
        length in 4.0..19.9_f64,
        width in 2.0..9.0_f64,
        longer in 0.0..5.0_f64,
        wider in 0.0..3.0_f64,
        is_flat in any::<bool>(),
        has_wheel in any::<bool>(),
    ) {
        let shape = |length, width| {
            let mut shape = boat(length, width);
            shape.wheel = Some(has_wheel);
            if is_flat { flat(shape) } else { shape }
        };
        let small = rule_limit(&shape(length, width));
        let large = rule_limit(&shape((length + longer).min(19.99), width + wider));
        if let (Ok(small), Ok(large)) = (&small, &large) {
            prop_assert!(large.value.limit.0 >= small.value.limit.0);
            prop_assert!(large.value.limit.0 >= large.value.computed.0);
            prop_assert!(large.value.limit.0 < large.value.computed.0 + 5.0);
        }
        // Growing inside the scope never loses a figure that was there.
        prop_assert!(small.is_err() || large.is_ok());
    }
}

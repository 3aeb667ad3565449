use proptest::prelude::*;

use super::repeated::{Wet, WetPair};
use super::*;
use crate::measure::air::air_ratio;
use crate::units::{Metres, Quantity, Unit};

fn psi(values: &[f64]) -> Vec<Option<Psi>> {
    values.iter().map(|value| Some(Psi(*value))).collect()
}

/// Readings with nought for one that was not taken.
fn partly(values: &[f64]) -> Vec<Option<Psi>> {
    values.iter().map(|value| (*value > 0.0).then_some(Psi(*value))).collect()
}

fn state_of(values: &[f64]) -> State {
    state(&psi(values)).expect("a state").value
}

fn share_of(values: &[f64]) -> f64 {
    share(&psi(values)).expect("a share").value.0
}

// TM 5-4210-230-14&P-1 (lowest not under 75 % of highest) and TM 1-1500-204-23-1 (none 20 % under the
// average), both read: share, whether it fails the first, distance to the average, whether it passes
// the second.
#[test]
fn both_published_rules_are_worked_out() {
    let cases: [(&[f64], f64, bool, f64, bool); 4] = [
        (&[150.0, 150.0, 150.0, 110.0], 0.733, true, 0.214, false),
        (&[150.0, 150.0, 150.0, 120.0], 0.800, false, 0.158, true),
        (&[130.0, 100.0], 0.769, false, 0.130, true),
        (&[130.0, 97.0], 0.746, true, 0.145, true),
    ];
    for (values, share, fails, under, passes) in cases {
        assert!((share_of(values) - share).abs() < 5e-4, "{values:?}");
        assert_eq!(state_of(values) == State::Failed, fails, "{values:?}");
        let rule = average_rule(&psi(values)).expect("a rule").value;
        assert!((rule.under.0 - under).abs() < 5e-4, "{values:?}");
        assert_eq!(rule.passes, passes, "{values:?}");
    }
}

// TM 5-4210-230-14&P-1, read: 120, 118, 122.
#[test]
fn readings_close_together_are_even() {
    assert!((share_of(&[120.0, 118.0, 122.0]) - 0.967).abs() < 5e-4);
    assert_eq!(state_of(&[120.0, 118.0, 122.0]), State::Even);
}

#[test]
fn the_average_of_the_first_published_case_is_140() {
    let rule = average_rule(&psi(&[150.0, 150.0, 150.0, 110.0])).expect("a rule");
    assert!((rule.value.mean.0 - 140.0).abs() < 1e-12);
    assert_eq!(rule.how(), "lowest 110 is 21.4 % under the average of 140 psi, not less than 20 %");
}

#[test]
fn each_state_begins_where_the_design_says() {
    let cases: [(&[f64], State); 16] = [
        (&[120.0, 90.0], State::Poor),    // exactly 75 %
        (&[160.0, 136.0], State::Uneven), // exactly 85 %
        (&[160.0, 135.9], State::Poor),
        (&[120.0, 89.9], State::Failed),
        (&[120.0, 110.0], State::Watch), // 10 apart
        (&[120.0, 109.9], State::Uneven),
        (&[120.0, 115.0], State::Even), // 5 apart
        (&[120.0, 114.9], State::Watch),
        (&[149.9, 139.8], State::Uneven), // 10.1 apart, 93 %
        (&[90.0, 80.9], State::Uneven),   // 9.1 apart, 89.9 %
        (&[90.0, 81.0], State::Watch),    // exactly 90 %
        (&[150.0, 138.0], State::Even),   // 12 apart, exactly 92 %
        (&[150.0, 137.9], State::Watch),
        (&[200.0, 180.0], State::Watch), // exactly 90 %
        (&[200.0, 179.9], State::Uneven),
        (&[200.0, 149.9], State::Failed),
    ];
    for (values, wanted) in cases {
        assert_eq!(state_of(values), wanted, "{values:?}");
    }
}

#[test]
fn the_working_is_one_a_buyer_can_follow() {
    let values = psi(&[178.0, 150.0]);
    assert_eq!(share(&values).expect("a share").how(), "lowest 150 / highest 178 = 84.3 %");
    assert_eq!(spread(&values).expect("a spread").how(), "highest 178 - lowest 150 = 28 psi");
    assert_eq!(
        state(&values).expect("a state").how(),
        "lowest 150 / highest 178 = 84.3 %, 28 psi apart: under 85 %"
    );
}

#[test]
fn unread_cylinders_leave_a_bad_state_and_take_a_good_one() {
    assert!(state(&partly(&[178.0, 0.0, 176.0])).is_err());
    assert!(state(&partly(&[120.0, 0.0, 113.0])).is_err());
    let poor = state(&partly(&[178.0, 0.0, 150.0])).expect("a state");
    assert_eq!(poor.value, State::Poor);
    assert!(poor.how().ends_with("; cylinder 2 not read"));
    let failed = state(&partly(&[178.0, 0.0, 0.0, 100.0])).expect("a state");
    assert_eq!(failed.value, State::Failed);
    assert!(failed.how().ends_with("; cylinders 2 and 3 not read"));
}

#[test]
fn fewer_than_two_readings_have_no_state() {
    assert_eq!(state(&psi(&[150.0])), Err(Absent::OneCylinder));
    assert!(state(&partly(&[150.0, 0.0])).is_err());
    assert_eq!(share(&[None, None]), Err(Absent::NothingRead));
    assert!(spread(&[]).is_err());
}

#[test]
fn a_dead_cylinder_is_a_reading_and_a_dead_gauge_is_not() {
    assert_eq!(state_of(&[150.0, 0.0]), State::Failed);
    assert!(state(&psi(&[0.0, 0.0])).expect_err("no state").to_string().contains("look at the test"));
    assert!(state(&psi(&[150.0, f64::NAN])).is_err());
}

#[test]
fn a_cylinder_is_the_mean_of_rounds_that_read_the_same() {
    let values = |first: &[f64], second: &[f64]| cylinders(&partly(first), &partly(second)).map(|it| it.values);
    assert_eq!(values(&[100.0, 0.0, 90.0], &[110.0, 0.0, 92.0]), Ok(partly(&[105.0, 0.0, 91.0])));
    assert_eq!(values(&[100.0, 90.0], &[]), Ok(psi(&[100.0, 90.0])));
}

#[test]
fn rounds_that_read_different_cylinders_are_not_mixed() {
    let both = |first: &[f64], second: &[f64]| cylinders(&partly(first), &partly(second)).expect("rounds");
    let fuller = both(&[126.0, 129.0, 126.0], &[105.0, 0.0, 105.0]);
    assert_eq!(fuller.values, psi(&[126.0, 129.0, 126.0]));
    assert!(fuller.note.expect("a note").contains("the first alone"));
    assert_eq!(state_of(&[126.0, 129.0, 126.0]), State::Even);
    let second = both(&[105.0, 0.0, 105.0], &[126.0, 129.0, 126.0]);
    assert_eq!(second.values, psi(&[126.0, 129.0, 126.0]));
    assert!(second.note.expect("a note").contains("the second"));
    assert_eq!(both(&[100.0, 0.0], &[0.0, 120.0]).values, partly(&[100.0, 0.0]), "as full: the first");
}

#[test]
fn rounds_of_unequal_length_are_refused() {
    let told = cylinders(&psi(&[100.0, 101.0]), &psi(&[100.0])).expect_err("no rounds");
    assert_eq!(told.to_string(), "the first round has 2 readings and the second 1");
}

#[test]
fn readings_of_one_cylinder_that_disagree_are_told() {
    let first = psi(&[100.0, 100.0, 200.0, 200.0]);
    let second = psi(&[104.0, 104.2, 205.0, 205.1]);
    // 4 of 104 is 3.8 %; 4.2 of 104.2 is 4.03 %; 5 and 5.1 psi.
    let told: Vec<usize> = repeats(&first, &second).iter().map(|it| it.value.cylinder).collect();
    assert_eq!(told, [2, 4]);
    assert_eq!(repeats(&first, &second)[1].how(), "cylinder 4: 200 and then 205.1, 5.1 psi apart");
    assert!(repeats(&first, &[None, None]).is_empty());
}

#[test]
fn low_is_measured_from_the_highest() {
    assert_eq!(low_cylinders(&psi(&[200.0, 180.0, 179.0])), [3]);
    assert_eq!(low_cylinders(&psi(&[120.0, 110.0, 109.0])), [3]);
    assert_eq!(low_cylinders(&psi(&[80.0, 71.0])), [2]); // 9 apart, 88.75 %
    assert!(low_cylinders(&psi(&[150.0])).is_empty());
}

fn together(values: &[Option<Psi>], heads: &[&[usize]]) -> Result<Option<[usize; 2]>, Absent> {
    let heads: Vec<Vec<usize>> = heads.iter().map(|head| head.to_vec()).collect();
    low_together(values, Some(&heads)).map(|found| found.value)
}

#[test]
fn two_low_cylinders_next_to_each_other_in_a_head_are_found() {
    let values = psi(&[150.0, 110.0, 108.0, 149.0]);
    assert_eq!(together(&values, &[&[2, 3], &[1, 4]]), Ok(Some([2, 3])));
    assert_eq!(together(&values, &[&[1, 3], &[2, 4]]), Ok(None));
    assert_eq!(together(&values, &[&[1, 2, 3, 4]]), Ok(Some([2, 3])));
    assert_eq!(together(&values, &[&[2, 1, 3]]), Ok(None), "one head, with another between them");
    // Cylinder 3 has no head named, and cylinder 2 shares its own with 1 only.
    assert_eq!(together(&values, &[&[1, 2]]), Ok(None));
    assert_eq!(together(&values, &[&[1, 4]]), Err(Absent::HeadOf(vec![2, 3])));
    assert!(low_together(&values, None).is_err());
}

#[test]
fn only_exactly_two_low_ones_are_together() {
    let one = low_together(&psi(&[150.0, 110.0, 149.0]), None).expect("an answer");
    assert_eq!((one.value, one.how().as_str()), (None, "only cylinder 2 is low"));
    assert_eq!(together(&psi(&[150.0, 110.0, 110.0, 110.0]), &[&[1, 2, 3, 4]]), Ok(None));
    assert!(low_together(&partly(&[150.0, 110.0, 0.0]), None).is_err());
    // A third one that nobody read could be low too; two apart stay apart whatever it reads.
    assert!(together(&partly(&[150.0, 110.0, 110.0, 0.0]), &[&[1, 2, 3, 4]]).is_err());
    assert_eq!(together(&partly(&[150.0, 110.0, 110.0, 0.0]), &[&[1, 3], &[2, 4]]), Ok(None));
    assert!(low_together(&psi(&[150.0]), None).is_err());
}

fn pair(cylinder: usize, dry: f64, wet: Option<f64>) -> WetPair {
    WetPair { cylinder, dry: Psi(dry), wet: wet.map(Psi) }
}

#[test]
fn oil_lifts_a_reading_or_it_does_not() {
    let told = wet(&[pair(2, 100.0, Some(115.0)), pair(3, 100.0, Some(105.0))]).expect("a rise");
    assert_eq!(told.value.wet, Wet::Rises);
    assert_eq!(told.how(), "cylinder 2: 100 to 115, 15 %; cylinder 3: 100 to 105, 5 %; mean rise 10 %");
    let flat = wet(&[pair(2, 100.0, Some(109.9))]).expect("a rise").value;
    assert_eq!(flat.wet.name(), "does-not");
}

#[test]
fn a_low_cylinder_without_a_wet_reading_is_left_out() {
    let told = wet(&[pair(1, 100.0, None), pair(2, 100.0, Some(120.0))]).expect("a rise");
    assert_eq!(told.value.by_cylinder.len(), 1);
    assert!(told.how().starts_with("cylinder 1 not told"));
    assert!(wet(&[pair(1, 100.0, None)]).is_err());
    assert!(wet(&[pair(1, 0.0, Some(50.0))]).is_err());
    assert!(wet(&[]).is_err());
}

// US Standard Atmosphere 1976, computed: 120 psi at sea level reads 106.44 at 1000 m.
#[test]
fn less_is_expected_higher_up() {
    let air = air_ratio(Metres(1000.0)).expect("a ratio").value;
    let told = expected(Psi(120.0), Some(&air)).expect("a figure");
    assert!((told.value.expected.0 - 106.44).abs() < 0.005);
    assert!(told.value.chart > told.value.expected);
    assert_eq!(told.how(), "factory 120 psi x 0.887 = 106 psi here (by a density chart 109)");
    let unknown = expected(Psi(120.0), None).expect("a figure");
    assert_eq!(unknown.value.expected, Psi(120.0));
    assert!(unknown.how().contains("height is not known"));
    assert!(expected(Psi(0.0), None).is_err());
}

fn bench(factory: Option<f64>) -> Bench {
    let expected = factory.map(|factory| expected(Psi(factory), None).expect("a figure").value);
    Bench { expected, air: None, cold_block: false, decompressor: false }
}

fn low_of(values: &[f64], bench: &Bench) -> AllLow {
    all_low(&psi(values), bench).expect("an answer").value
}

#[test]
fn the_whole_motor_is_low_against_the_factory_figure() {
    let warm = bench(Some(120.0));
    let cold = Bench { cold_block: true, ..warm };
    for (highest, on_warm, on_cold) in [
        (108.0, AllLow::No, AllLow::No), // exactly 90 %
        (107.9, AllLow::Low, AllLow::No),
        (102.0, AllLow::Low, AllLow::No), // exactly 85 %
        (101.9, AllLow::Low, AllLow::Low),
        (90.0, AllLow::Low, AllLow::Low), // exactly 75 %
        (89.9, AllLow::Far, AllLow::Far),
    ] {
        assert_eq!(low_of(&[60.0, highest], &warm), on_warm, "{highest}");
        assert_eq!(low_of(&[highest], &cold), on_cold, "one cylinder, {highest}");
    }
}

#[test]
fn a_dead_engine_is_low_without_a_factory_figure_too() {
    let bare = bench(None);
    assert_eq!(low_of(&[90.0], &bare), AllLow::No);
    assert_eq!(low_of(&[89.9], &bare), AllLow::Low);
    assert_eq!(low_of(&[60.0, 59.0], &bare), AllLow::Low);
    assert_eq!(low_of(&[59.9, 59.0], &bare), AllLow::Far);
    assert_eq!(low_of(&[0.0], &bare), AllLow::Far);
    let rope = Bench { decompressor: true, ..bare };
    assert_eq!(low_of(&[60.0], &rope), AllLow::No);
    assert_eq!(low_of(&[30.0], &rope), AllLow::Low);
    assert_eq!(low_of(&[29.9], &rope), AllLow::Far);
    // US Standard Atmosphere 1976, computed: 0.78456 at 2000 m; 75 psi there are 95.6 at the sea.
    let high = Bench { air: Some(Fraction(0.784_56)), ..bare };
    assert_eq!(low_of(&[75.0], &high), AllLow::No);
    assert!(all_low(&psi(&[75.0]), &bare).expect("an answer").how().contains("taken as sea level"));
}

#[test]
fn an_unread_cylinder_can_only_lift_the_highest() {
    assert_eq!(all_low(&partly(&[100.0, 0.0]), &bench(None)).map(|it| it.value), Ok(AllLow::No));
    assert!(all_low(&partly(&[80.0, 0.0]), &bench(None)).is_err());
    assert!(all_low(&[None], &bench(None)).is_err());
}

#[test]
fn the_worst_loss_is_told_with_its_cylinder() {
    let losses = |list: &[f64]| -> Vec<Option<Fraction>> {
        list.iter().map(|loss| (*loss >= 0.0).then_some(Fraction(*loss))).collect()
    };
    let told = leakdown(&losses(&[0.10, 0.30, 0.26])).expect("a loss");
    assert_eq!(told.value.cylinder, 2);
    assert_eq!(told.value.over, [2, 3]);
    assert_eq!(told.how(), "cylinder 2 loses most, 30 %; cylinders 2 and 3 lose more than 25 %");
    // Exactly 25 % is not over; an unread cylinder keeps a good worst from being one.
    assert!(leakdown(&losses(&[0.25, 0.1])).expect("a loss").value.over.is_empty());
    assert!(leakdown(&losses(&[0.10, -1.0])).is_err());
    assert!(!leakdown(&losses(&[0.40, -1.0])).expect("a loss").value.all_read);
    assert!(leakdown(&losses(&[1.5])).is_err());
    assert!(leakdown(&[]).is_err());
}

#[test]
fn bars_line_up_and_mark_the_low_one() {
    let values = [Some(Psi(178.0)), None, Some(Psi(89.0)), Some(Psi(176.0))];
    assert_eq!(
        bars(&values, Unit::Psi, 40),
        [
            "1 ########################## 178 psi",
            "2                              ?",
            "3 #############               89 psi low",
            "4 ########################## 176 psi",
        ]
    );
}

#[test]
fn bars_speak_the_buyers_unit() {
    let values = psi(&[150.0, 147.5]);
    let lines = bars(&values, Unit::Bar, 30);
    assert_eq!(lines[0], "1 ################### 10.3 bar");
    assert!(lines[1].ends_with(" 10.2 bar"));
    assert!(bars(&values, Unit::Psi, 30)[1].ends_with("147.5 psi"));
}

#[test]
fn bars_never_break_on_odd_input() {
    assert!(bars(&[], Unit::Psi, 40).is_empty());
    assert_eq!(bars(&[None], Unit::Psi, 0), ["1      ?"]);
    assert_eq!(bars(&psi(&[0.0]), Unit::Psi, 0), ["1      0 psi"]);
}

fn readings() -> impl Strategy<Value = Vec<f64>> {
    proptest::collection::vec(40.0..250.0_f64, 2..12)
}

proptest! {
    #[test]
    fn the_unit_does_not_change_the_share(values in readings()) {
        let through = |unit| -> Vec<Option<Psi>> {
            let there = values.iter().map(|value| Quantity::new(*value, Unit::Psi).to(unit));
            there.map(|amount| Psi::try_from(amount).ok()).collect()
        };
        for unit in [Unit::Kilopascal, Unit::Bar, Unit::KilogramPerSquareCentimetre] {
            let other = share(&through(unit)).expect("a share").value.0;
            prop_assert!((other - share_of(&values)).abs() < 1e-12);
        }
    }

    #[test]
    fn altitude_does_not_change_the_share(values in readings(), height in 0.0..4000.0_f64) {
        let ratio = air_ratio(Metres(height)).expect("a ratio").value.ratio.0;
        let up_there: Vec<f64> = values.iter().map(|value| value * ratio).collect();
        prop_assert!((share_of(&up_there) - share_of(&values)).abs() < 1e-12);
    }

    #[test]
    fn the_order_of_cylinders_changes_nothing(
        (values, shuffled) in readings().prop_flat_map(|values| (Just(values.clone()), Just(values).prop_shuffle()))
    ) {
        prop_assert_eq!(
            spread(&psi(&values)).expect("a spread"),
            spread(&psi(&shuffled)).expect("a spread")
        );
        prop_assert_eq!(state_of(&values), state_of(&shuffled));
        prop_assert_eq!(average_rule(&psi(&values)), average_rule(&psi(&shuffled)));
    }

    #[test]
    fn uneven_and_failed_always_have_a_low_cylinder(values in readings()) {
        let low = low_cylinders(&psi(&values));
        prop_assert_eq!(low.is_empty(), state_of(&values) <= State::Watch);
    }

    #[test]
    fn one_more_reading_never_mends_a_share(values in readings(), more in 40.0..250.0_f64) {
        let before = state(&[psi(&values), vec![None]].concat());
        let after = state(&[psi(&values), psi(&[more])].concat()).expect("a state").value;
        if let Ok(before) = before
            && share_of(&values) < UNEVEN
        {
            prop_assert!(after >= before.value, "{:?} {:?}", before, after);
        }
    }

    #[test]
    fn bars_keep_to_the_page(values in readings(), width in 24_usize..100) {
        for line in bars(&psi(&values), Unit::Psi, width) {
            prop_assert!(line.len() <= width, "{}", line);
            prop_assert!(line.is_ascii());
        }
    }
}

//! What must not matter, and what must be answered: properties of the fleet model, no numbers of it.

use windrow_fleet::{Bound, Fleet, Scores, UNTOLD, score};

/// Noise that is the same everywhere (splitmix64, constants from memory).
struct Noise(u64);

impl Noise {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        f64::from(u32::try_from(mixed >> 40).unwrap_or(0)) / f64::from(1_u32 << 24)
    }

    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

/// One machine's rows.
#[derive(Debug, Clone)]
struct Machine {
    codes: [u32; 3],
    reviews: Vec<Row>,
}

#[derive(Debug, Clone)]
struct Row {
    time: f64,
    resistance: Option<(f64, Bound)>,
    index: Option<f64>,
    surge: Option<(f64, Bound)>,
    site: u32,
}

fn machine(number: u32) -> Machine {
    let mut noise = Noise(u64::from(number));
    let level = 2.5 + 0.4 * noise.normal();
    let reviews = (0..=number % 9)
        .map(|test| {
            let decades = level + 0.2 * noise.normal();
            let ceiling = decades > 3.0;
            Row {
                time: 2000.0 + f64::from(test) * 1.7 + noise.uniform(),
                resistance: Some((decades.min(3.0), if ceiling { Bound::AtLeast } else { Bound::Exact })),
                index: number.is_multiple_of(3).then(|| 1.0 + 0.2 * noise.normal()),
                surge: number.is_multiple_of(4).then_some((2.6, Bound::AtLeast)),
                site: number % 13,
            }
        })
        .collect();
    Machine { codes: [number % 4, number % 3, number % 17], reviews }
}

fn fleet(machines: &[Machine]) -> Fleet {
    let mut fleet = Fleet::default();
    for machine in machines {
        let [rating, insulation, maker] = machine.codes;
        fleet.machines.rating.push(rating);
        fleet.machines.insulation.push(insulation);
        fleet.machines.maker.push(maker);
        for row in &machine.reviews {
            let reviews = &mut fleet.reviews;
            reviews.time_a.push(row.time);
            reviews.winding.push(0);
            reviews.treated.push(false);
            reviews.age_a.push(row.time - 1990.0);
            reviews.temperature_c.push(f64::NAN);
            reviews.humidity_pct.push(f64::NAN);
            reviews.extra.push(0.0);
            let year = (1990..2030).rev().find(|year| f64::from(*year) <= row.time).unwrap_or(0);
            reviews.campaign.push(row.site * 4096 + year);
            reviews.visit.push(UNTOLD);
            reviews.instrument.push(UNTOLD);
            reviews.tester.push(UNTOLD);
            reviews.resistance.push(row.resistance);
            reviews.polarization.push(row.index.map(|index| (index, Bound::Exact)));
            reviews.knee.push(None);
            reviews.unbalance.push(None);
            reviews.surge.push(row.surge);
        }
        fleet.machines.end.push(fleet.reviews.time_a.len());
    }
    fleet
}

fn machines(count: u32) -> Vec<Machine> {
    (0..count).map(machine).collect()
}

/// Bits, so that not-a-number equals itself.
fn bits(values: &[f64]) -> Vec<u64> {
    values.iter().map(|value| value.to_bits()).collect()
}

#[test]
fn the_number_of_threads_does_not_matter() {
    let fleet = fleet(&machines(700));
    let with = |threads: usize| -> Scores {
        rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap().install(|| score(&fleet))
    };
    let one = with(1);
    for threads in [2, 3, 8] {
        let many = with(threads);
        assert_eq!(bits(&one.by_review), bits(&many.by_review));
        assert_eq!(bits(&one.by_machine), bits(&many.by_machine));
        assert_eq!(bits(&one.resistance.expected), bits(&many.resistance.expected));
    }
}

#[test]
fn the_order_of_machines_and_the_numbers_of_codes_do_not_matter() {
    let straight = machines(500);
    let other: Vec<Machine> = (0..500_usize)
        .map(|place| {
            let mut machine = straight[place * 7 % 500].clone();
            machine.codes = machine.codes.map(|code| 1000 - code * 3);
            machine.reviews.iter_mut().for_each(|row| row.site = 50 - row.site);
            machine
        })
        .collect();
    let (a, b) = (score(&fleet(&straight)), score(&fleet(&other)));
    for place in 0..500_usize {
        assert_eq!(a.by_machine[place * 7 % 500].to_bits(), b.by_machine[place].to_bits(), "machine {place}");
    }
}

#[test]
fn a_higher_ceiling_is_never_worse_news() {
    let mut machines = machines(300);
    let at = machines[8].reviews.len() - 1;
    let mut p_with = |ceiling: f64| {
        machines[8].reviews[at].resistance = Some((ceiling, Bound::AtLeast));
        score(&fleet(&machines)).by_machine[8]
    };
    let chances: Vec<f64> = [0.5, 1.0, 2.0, 2.5, 3.0, 3.5].into_iter().map(&mut p_with).collect();
    assert!(chances.windows(2).all(|pair| pair[0] <= pair[1] + 0.01), "{chances:?}");
    assert!(chances[0] > 0.2, "a ceiling below the usual level tells nothing bad: {chances:?}");
}

#[test]
fn a_machine_far_below_its_past_and_its_sisters_stands_out() {
    let mut machines = machines(300);
    for row in machines[17].reviews.iter_mut().rev().take(2) {
        row.resistance = Some((0.3, Bound::Exact));
    }
    let scores = score(&fleet(&machines));
    let least = (0..300).min_by(|a, b| scores.by_machine[*a].total_cmp(&scores.by_machine[*b]));
    assert_eq!(least, Some(17));
    assert!(scores.by_machine[17] < 1e-4, "{}", scores.by_machine[17]);
}

/// A single reading that surprises in a fleet of five or ten says little; below five machines none is judged beside the others.
#[test]
fn tiny_fleets_do_not_shout() {
    let of = |count| score(&fleet(&machines(count))).by_machine;
    for count in [5, 10] {
        assert!(of(count).iter().all(|p| *p > 0.005), "{count}: {:?}", of(count));
    }
    for count in [1, 2, 4] {
        assert!(of(count).iter().all(|p| p.is_nan()), "{count}: {:?}", of(count));
    }
    assert!(score(&Fleet::default()).by_machine.is_empty());
}

#[test]
fn what_cannot_be_judged_is_told_as_such_and_harms_nobody() {
    let sound = machines(200);
    let mut odd = sound.clone();
    let row = |time: f64, resistance: Option<(f64, Bound)>| Row { time, resistance, index: None, surge: None, site: 1 };
    let machine = |reviews: Vec<Row>| Machine { codes: [UNTOLD, UNTOLD, UNTOLD], reviews };
    odd.push(machine(Vec::new()));
    odd.push(machine(vec![row(f64::NAN, Some((2.0, Bound::Exact)))]));
    odd.push(machine(vec![
        row(2010.0, Some((f64::INFINITY, Bound::Exact))),
        row(2011.0, Some((f64::NAN, Bound::Exact))),
    ]));
    odd.push(machine((0..6).map(|year| row(2010.0 + f64::from(year), Some((3.0, Bound::AtLeast)))).collect()));
    odd.push(machine((0..6).map(|year| row(2010.0 + f64::from(year), Some((2.4, Bound::Exact)))).collect()));
    let scores = score(&fleet(&odd));
    let [none, undated, infinite, bounded, equal]: [f64; 5] = scores.by_machine[200..].try_into().unwrap();
    assert!(none.is_nan() && undated.is_nan() && infinite.is_nan());
    assert!(bounded > 0.3 && equal > 0.05, "{bounded} {equal}");
    assert!(scores.by_machine[..200].iter().all(|p| (0.0..=1.0).contains(p)));
}

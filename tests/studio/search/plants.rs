//! Small drafts, each with one failure planted in it by a seeded generator: past a limit of one measure, where two come
//! together, or in a thin band of one. Which measures it needs is known, so that what a search finds can be held against it.

/// A draft and the measures that its failure needs.
pub struct Plant {
    pub text: String,
    pub needs: Vec<&'static str>,
    pub what: &'static str,
}

/// Name, default, least and most in centimetres (or degrees).
const INPUTS: [(&str, f64, f64, f64); 6] = [
    ("chest_girth", 96.0, 70.0, 140.0),
    ("waist_girth", 80.0, 56.0, 130.0),
    ("hip_girth", 100.0, 76.0, 150.0),
    ("back_length", 42.0, 34.0, 52.0),
    ("ease", 10.0, 4.0, 24.0),
    ("drop", 3.0, 0.0, 8.0),
];

/// Random figures by xorshift, as Marsaglia gives it.
struct Dice(u64);

impl Dice {
    fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % count as u64).unwrap()
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.below(10_000) as f64 / 10_000.0
    }
}

/// A condition on one input that its default does not meet, met by `share` of its range at one end.
fn beyond(dice: &mut Dice, (name, default, low, high): (&str, f64, f64, f64)) -> String {
    let share = dice.between(0.1, 0.5);
    if dice.below(2) == 0 {
        let limit = high - (high - default) * share;
        format!("{name} > {limit:.1}cm")
    } else {
        let limit = low + (default - low) * share;
        format!("{name} < {limit:.1}cm")
    }
}

/// A condition on one input that holds in a band of half to two hundredths of its range, away from its default.
fn in_a_band(dice: &mut Dice, (name, default, low, high): (&str, f64, f64, f64)) -> String {
    let wide = (high - low) * dice.between(0.005, 0.02);
    let (from, to) = if dice.below(2) == 0 {
        (default + 0.5, high - wide)
    } else {
        (low, default - 0.5 - wide)
    };
    let start = dice.between(from, to);
    format!("{name} >= {start:.2}cm and {name} <= {:.2}cm", start + wide)
}

/// How much too long the front side becomes, as sentences that give `extra`.
fn planted(dice: &mut Dice, kind: usize) -> (String, Vec<&'static str>, &'static str) {
    let first = INPUTS[dice.below(INPUTS.len())];
    let second = loop {
        let other = INPUTS[dice.below(INPUTS.len())];
        if other.0 != first.0 {
            break other;
        }
    };
    let step = |condition: String| {
        format!("if {condition} {{ length extra = 4mm }} otherwise {{ length extra = 0mm }}")
    };
    match kind % 5 {
        0 => (
            step(beyond(dice, first)),
            vec![first.0],
            "past a limit of one",
        ),
        1 => {
            // Grows slowly past a limit; the seam gives half a millimetre, or one where it is long.
            let limit = first.1 + (first.3 - first.1) * dice.between(0.3, 0.6);
            let rate = 3.0 / (10.0 * (first.3 - limit));
            (
                format!(
                    "length extra = largest of 0mm, ({} - {limit:.1}cm) * {rate:.4}",
                    first.0
                ),
                vec![first.0],
                "slowly past a limit of one",
            )
        }
        2 => {
            let both = format!("{} and {}", beyond(dice, first), beyond(dice, second));
            (step(both), vec![first.0, second.0], "two together")
        }
        3 => {
            // Either alone, at its end, is just not enough; both together are.
            let part = |(name, default, _, high): (&str, f64, f64, f64)| {
                format!(
                    "({name} - {default}cm) * {:.5}",
                    0.4 / (10.0 * (high - default))
                )
            };
            (
                format!("length extra = {} + {}", part(first), part(second)),
                vec![first.0, second.0],
                "two together, slowly",
            )
        }
        _ => (
            step(in_a_band(dice, first)),
            vec![first.0],
            "a thin band of one",
        ),
    }
}

/// Thirty drafts, the same on every run.
pub fn thirty() -> Vec<Plant> {
    let mut dice = Dice(0x0a_c7_a6_5e_ed);
    (0..30)
        .map(|number| {
            let (extra, mut needs, what) = planted(&mut dice, number);
            needs.sort_unstable();
            let sorts = ["body", "body", "body", "body", "choose", "choose"];
            let inputs: String = INPUTS
                .iter()
                .zip(sorts)
                .map(|((name, default, low, high), sort)| {
                    format!("{sort} {name} = {default}cm between {low}cm and {high}cm\n")
                })
                .collect();
            let text = format!(
                "draft \"Plant {number}\"\nunit cm\n{inputs}choose lean = 12deg between 2deg and 30deg
choose shape = \"straight\" of \"straight\", \"flared\"
{extra}
panel back {{
  point nape = origin
  line centre = from nape toward down for back_length + drop
  line upper = from nape toward right for (chest_girth + ease) / 4
  line side = from end of upper toward down for back_length
  line hem = from end of centre to end of side
}}
panel front {{
  point nape = origin
  line centre = from nape toward down for back_length + drop
  line upper = from nape toward right for (chest_girth + ease) / 4
  line side = from end of upper toward down for back_length + extra
  line hem = from end of centre to end of side
}}
piece back {{ outline centre, hem, side, upper
  cut 2
  allow 1cm
  finish hem, upper
}}
piece front {{ outline centre, hem, side, upper
  cut 2
  allow 1cm
  finish hem, upper
}}
seam side joins front.side to back.side
check \"girths\" that waist_girth + hip_girth > 0cm
check \"lean\" that lean > 1deg
if shape = \"flared\" {{ note \"Flared.\" }}
"
            );
            Plant { text, needs, what }
        })
        .collect()
}

//! Changes of bytes and of trees, drawn at random.

use serde_json::{Map, Value, json};

/// Draws by a 64-bit linear congruential generator with Knuth's multiplier.
pub struct Draws(u64);

impl Draws {
    pub fn new(seed: u64) -> Self {
        let mut draws = Self(seed);
        draws.below(1);
        draws
    }

    pub fn below(&mut self, most: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (self.0 >> 33) as usize % most.max(1)
    }

    pub fn of<'a, T>(&mut self, items: &'a [T]) -> &'a T {
        &items[self.below(items.len())]
    }
}

/// Bits of text that have broken readers before.
const BITS: [&str; 28] = [
    "\"",
    "{",
    "}",
    "[",
    "]",
    ",",
    ":",
    "//",
    "/*",
    "\\u0000",
    "\\ud800",
    "\u{1b}[2J",
    "\u{202e}",
    "\u{feff}",
    "\r",
    "\n",
    "\0",
    "null",
    "1e400",
    "-0",
    "0x1F",
    "NaN",
    "```",
    "## ",
    "\u{e0041}",
    "\\",
    "1e-320",
    "\u{2028}",
];

/// A text with some of its bytes changed.
pub fn bytes(mut text: Vec<u8>, most: usize, draws: &mut Draws) -> Vec<u8> {
    for _ in 0..=draws.below(most) {
        let at = draws.below(text.len() + 1);
        match draws.below(6) {
            0 if at < text.len() => text[at] = draws.below(256) as u8,
            1 if at < text.len() => text[at] ^= 1 << draws.below(8),
            2 => {
                let end = (at + draws.below(40)).min(text.len());
                text.drain(at..end);
            }
            3 => {
                let end = (at + draws.below(200)).min(text.len());
                let part = text[at..end].to_vec();
                let to = draws.below(text.len() + 1);
                text.splice(to..to, part);
            }
            4 => text.truncate(at),
            _ => {
                let bit = draws.of(&BITS).repeat(1 + draws.below(3));
                text.splice(at..at, bit.into_bytes());
            }
        }
    }
    text
}

/// Values that stand at the edges of what is accepted, or beyond.
const ODD: [&str; 40] = [
    "0 in",
    "0 ft",
    "0 gph",
    "0 W",
    "1e-300 ft",
    "1e-300 gph",
    "5e-324 in",
    "1e300 ft",
    "1e308 gph",
    "NaN",
    "NaN ft",
    "inf",
    "-inf ft",
    "1e400 ft",
    "-1 ft",
    "-0 in",
    "0.0000001 in",
    "100000 mi",
    "none",
    "",
    " ",
    "1/0 in",
    "0/1 in",
    "1:0",
    "0:1",
    "1e9:1",
    "-459.67 °F",
    "-500 °F",
    "0 %",
    "1000000 %",
    "1 ft 1 ft",
    "x",
    "\u{202e}x",
    "a\nb",
    "\u{200b}",
    "9999-12-31",
    "0000-00-00",
    "1 ft²",
    "0 gpm/ft²",
    "1e-12 µm",
];

fn odd(draws: &mut Draws) -> Value {
    match draws.below(10) {
        0 => Value::Null,
        1 => json!(draws.below(2) == 0),
        2 => json!(draws.of(&[0.0, -1.0, 1e-300, 1e300, 0.5, 2.0, 1e9])),
        3 => json!([]),
        4 => json!({}),
        _ => json!(draws.of(&ODD)),
    }
}

/// A tree with one thing in it changed.
pub fn tree(value: &mut Value, draws: &mut Draws) {
    match value {
        Value::Object(members) if !members.is_empty() && draws.below(8) > 0 => {
            let key = draws.of(&members.keys().cloned().collect::<Vec<_>>()).clone();
            match draws.below(14) {
                0 => {
                    members.remove(&key);
                }
                1 => {
                    let copy = members[&key].clone();
                    members.insert(format!("{key}{}", draws.below(5)), copy);
                }
                2 => {
                    let inner = members.remove(&key).unwrap_or_default();
                    members.insert(
                        draws.of(&["", "none", "a/b", "=", "~", "\n", "池"]).to_string(),
                        inner,
                    );
                }
                _ => tree(&mut members[&key], draws),
            }
        }
        Value::Array(items) if !items.is_empty() && draws.below(8) > 0 => {
            let at = draws.below(items.len());
            match draws.below(6) {
                0 => drop(items.remove(at)),
                1 => items.push(items[at].clone()),
                2 => items.reverse(),
                _ => tree(&mut items[at], draws),
            }
        }
        Value::String(text) if draws.below(3) == 0 => {
            // The same words with another number.
            let number = *draws.of(&["0", "1e-300", "1e6", "-3", "0.001", "7", "1000"]);
            let words: Vec<&str> = text.split(' ').collect();
            let first_is_number = words[0].parse::<f64>().is_ok();
            *text = if first_is_number {
                [&[number], &words[1..]].concat().join(" ")
            } else {
                format!("{number} {text}")
            };
        }
        leaf => *leaf = odd(draws),
    }
}

/// A way into a tree, as a patch over it.
pub fn part(value: &Value, draws: &mut Draws) -> Value {
    match value {
        Value::Object(members) if !members.is_empty() && draws.below(6) > 0 => {
            let key = draws.of(&members.keys().cloned().collect::<Vec<_>>()).clone();
            let inner = part(&members[&key], draws);
            Value::Object(Map::from_iter([(key, inner)]))
        }
        other => other.clone(),
    }
}

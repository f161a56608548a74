//! The pool of one item: how many lie there, what they are worth, and what leaves with each issue.
//! One item only; batches, places and the order of movements are `costing`'s.

use std::collections::{HashMap, VecDeque};
use std::fmt;
use std::str::FromStr;

/// How a book values what leaves its stock. Chosen once per book; a change needs the accountant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CostMethod {
    /// Moving weighted average: each arrival renews the average cost of what is there.
    #[default]
    Average,
    /// First in, first out: what came first leaves first, at what it cost.
    Fifo,
}

impl CostMethod {
    /// The word used in settings and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Average => "average",
            Self::Fifo => "fifo",
        }
    }
}

impl fmt::Display for CostMethod {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for CostMethod {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text {
            "average" => Ok(Self::Average),
            "fifo" => Ok(Self::Fifo),
            other => Err(format!("'{other}' is not a costing; use average or fifo")),
        }
    }
}

/// Shares of a whole are counted in parts of this many.
const WHOLE: i128 = 1_000_000_000_000_000_000;

/// `amount` × `part` ÷ `whole`, rounded halves away from zero.
pub(super) fn part_of(amount: i64, part: i64, whole: i64) -> i64 {
    part_of_wide(amount, i128::from(part), i128::from(whole))
}

fn part_of_wide(amount: i64, part: i128, whole: i128) -> i64 {
    if whole == 0 {
        return 0;
    }
    let product = i128::from(amount) * part;
    let half = whole.abs() / 2;
    let rounded = if (product < 0) == (whole < 0) {
        (product.abs() + half) / whole.abs()
    } else {
        -((product.abs() + half) / whole.abs())
    };
    i64::try_from(rounded).unwrap_or(if rounded < 0 { i64::MIN } else { i64::MAX })
}

/// What is left of one arrival, first in first out only.
#[derive(Debug)]
struct Layer {
    of: usize,
    micro: i64,
    value: i64,
}

/// What left the average pool, and how many lay there before.
#[derive(Debug)]
struct Out {
    of: usize,
    before: i64,
    micro: i64,
}

/// Issued though it was not there: valued for the time being at the last known cost.
#[derive(Debug)]
struct Short {
    of: usize,
    micro: i64,
    provisional: i64,
}

/// What became of one arrival.
#[derive(Debug)]
struct Came {
    micro: i64,
    /// Gone at once to what had been issued before it came.
    covered: Vec<(usize, i64)>,
    /// Gone later, first in first out only.
    taken: Vec<(usize, i64)>,
    /// Where in the outs it came, average only.
    at: usize,
}

/// One item's pool. Quantities are millionths of the item's unit, values minor units; movements are known by their
/// place in the list that is being costed.
#[derive(Debug)]
pub(super) struct Pool {
    method: CostMethod,
    micro: i64,
    value: i64,
    layers: VecDeque<Layer>,
    outs: Vec<Out>,
    came: HashMap<usize, Came>,
    shorts: VecDeque<Short>,
    /// The last known cost: so much for so many.
    last: (i64, i64),
}

impl Pool {
    pub(super) fn new(method: CostMethod) -> Self {
        Self {
            method,
            micro: 0,
            value: 0,
            layers: VecDeque::new(),
            outs: Vec::new(),
            came: HashMap::new(),
            shorts: VecDeque::new(),
            last: (0, 0),
        }
    }

    /// How many lie there; below nothing when more was issued than ever came.
    pub(super) const fn micro(&self) -> i64 {
        self.micro
    }

    /// What they are worth; below nothing when short.
    pub(super) const fn value(&self) -> i64 {
        self.value
    }

    /// What is still issued without being there: which movement, how many.
    pub(super) fn shorts(&self) -> impl Iterator<Item = (usize, i64)> {
        self.shorts.iter().map(|short| (short.of, short.micro))
    }

    /// What so many would be worth at the cost of what is there, or at the last known cost.
    pub(super) fn worth(&self, micro: i64) -> i64 {
        if self.micro > 0 {
            part_of(self.value, micro, self.micro)
        } else {
            part_of(self.last.0, micro, self.last.1)
        }
    }

    /// Takes so many away and answers what they cost.
    pub(super) fn issue(&mut self, of: usize, micro: i64) -> i64 {
        if self.micro > 0 {
            self.last = (self.value, self.micro);
        }
        let there = micro.min(self.micro.max(0));
        let mut cost = match self.method {
            CostMethod::Average => self.take_average(of, there),
            CostMethod::Fifo => self.take_first(of, there),
        };
        self.micro -= there;
        self.value -= cost;
        let missing = micro - there;
        if missing > 0 {
            let provisional = part_of(self.last.0, missing, self.last.1);
            self.shorts.push_back(Short {
                of,
                micro: missing,
                provisional,
            });
            self.micro -= missing;
            self.value -= provisional;
            cost += provisional;
        }
        cost
    }

    fn take_average(&mut self, of: usize, micro: i64) -> i64 {
        if micro == 0 {
            return 0;
        }
        self.outs.push(Out {
            of,
            before: self.micro,
            micro,
        });
        if micro == self.micro {
            self.value
        } else {
            part_of(self.value, micro, self.micro)
        }
    }

    fn take_first(&mut self, of: usize, micro: i64) -> i64 {
        let (mut left, mut cost) = (micro, 0);
        while left > 0 {
            let Some(layer) = self.layers.front_mut() else {
                break;
            };
            let taken = left.min(layer.micro);
            let value = if taken == layer.micro {
                layer.value
            } else {
                part_of(layer.value, taken, layer.micro)
            };
            if let Some(came) = self.came.get_mut(&layer.of) {
                came.taken.push((of, taken));
            }
            layer.micro -= taken;
            layer.value -= value;
            left -= taken;
            cost += value;
            if layer.micro == 0 {
                self.layers.pop_front();
            }
        }
        cost
    }

    /// Puts so many in at their cost. Answers what earlier issues without stock must be corrected by: which movement,
    /// and how much more it cost than was thought.
    pub(super) fn receive(&mut self, of: usize, micro: i64, value: i64) -> Vec<(usize, i64)> {
        let mut corrections = Vec::new();
        let mut covered = Vec::new();
        let (mut used, mut used_value) = (0, 0);
        while used < micro {
            let Some(short) = self.shorts.front_mut() else {
                break;
            };
            let now = short.micro.min(micro - used);
            used += now;
            // The running share is rounded and differences are taken, so that the parts add up to the whole.
            let share = part_of(value, used, micro) - used_value;
            used_value += share;
            let thought = if now == short.micro {
                short.provisional
            } else {
                part_of(short.provisional, now, short.micro)
            };
            short.micro -= now;
            short.provisional -= thought;
            covered.push((short.of, now));
            corrections.push((short.of, share - thought));
            self.value -= share - thought;
            if short.micro == 0 {
                self.shorts.pop_front();
            }
        }
        self.micro += micro;
        self.value += value;
        if micro > 0 {
            self.last = (value, micro);
        }
        if self.method == CostMethod::Fifo && used < micro {
            self.layers.push_back(Layer {
                of,
                micro: micro - used,
                value: value - used_value,
            });
        }
        self.came.insert(
            of,
            Came {
                micro,
                covered,
                taken: Vec::new(),
                at: self.outs.len(),
            },
        );
        corrections
    }

    /// Adds a cost that came later to an arrival, or takes one off. What is still there keeps its share; answers the
    /// shares of what has gone since, by the movement it went with.
    pub(super) fn add_later(&mut self, of: usize, amount: i64) -> Vec<(usize, i64)> {
        let gone = self.gone_since(of);
        let mut parts: Vec<(usize, i64)> = Vec::new();
        let mut before = 0;
        for (issue, share) in gone {
            let so_far = part_of_wide(amount, share, WHOLE);
            match parts.last_mut() {
                Some((last, part)) if *last == issue => *part += so_far - before,
                _ => parts.push((issue, so_far - before)),
            }
            before = so_far;
        }
        parts.retain(|(_issue, part)| *part != 0);
        let stays = amount - before;
        self.value += stays;
        if let Some(layer) = self.layers.iter_mut().find(|layer| layer.of == of) {
            layer.value += stays;
        }
        parts
    }

    /// The running share of an arrival that has gone, after each issue that took from it, in parts of [`WHOLE`].
    fn gone_since(&self, of: usize) -> Vec<(usize, i128)> {
        let Some(came) = self.came.get(&of) else {
            return Vec::new();
        };
        let whole = i128::from(came.micro);
        let mut gone = Vec::new();
        let mut count = 0;
        for (issue, micro) in came.covered.iter().chain(&came.taken) {
            count += i128::from(*micro);
            gone.push((*issue, count * WHOLE / whole));
        }
        if self.method == CostMethod::Average {
            let mut stays = WHOLE - count * WHOLE / whole;
            for out in self.outs.iter().skip(came.at) {
                if stays == 0 {
                    break;
                }
                stays = stays * i128::from(out.before - out.micro) / i128::from(out.before);
                gone.push((out.of, WHOLE - stays));
            }
        }
        gone
    }

    /// Whether what lies there is worth something or nothing, never less.
    pub(super) fn is_sound(&self) -> bool {
        (self.value >= 0 || self.micro < 0) && self.layers.iter().all(|layer| layer.value >= 0)
    }

    /// Takes value off without taking pieces; answers how much could be taken.
    pub(super) fn write_down(&mut self, amount: i64) -> i64 {
        let amount = amount.min(self.value.max(0));
        let whole = self.value;
        self.value -= amount;
        let (mut seen, mut taken) = (0, 0);
        for layer in &mut self.layers {
            seen += layer.value;
            let so_far = part_of(amount, seen, whole);
            layer.value -= so_far - taken;
            taken = so_far;
        }
        amount
    }
}

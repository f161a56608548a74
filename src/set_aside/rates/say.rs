//! A line's working in words, with the figures in: `12.4 % of 55,410.00 (line 8)`.
//! The words are for the owner and her accountant alike.

use rust_decimal::Decimal;

use super::answers::AnswerKind;
use super::check::BOOK_FACTS;
use super::evaluate::Worked;
use super::expression::{Expr, Function, Order, Sum};
use super::worksheet::Unit;
use crate::money::{Currency, Money};

/// Says the lines of a worked sheet.
pub(crate) struct Saying<'a> {
    pub(crate) worked: &'a Worked<'a>,
    pub(crate) currency: &'a Currency,
    /// The printed number of each line that is shown.
    pub(crate) numbers: &'a dyn Fn(&str) -> Option<u32>,
}

/// What is said and how closely it binds: sums less than products.
struct Said {
    words: String,
    is_sum: bool,
}

impl Said {
    fn plain(words: String) -> Self {
        Self {
            words,
            is_sum: false,
        }
    }

    /// As one part of a product.
    fn factor(self) -> String {
        if self.is_sum {
            format!("({})", self.words)
        } else {
            self.words
        }
    }
}

/// A decimal as money.
pub(crate) fn money(value: Decimal, currency: &Currency) -> Money {
    let scale = Decimal::from(10_i64.pow(currency.decimals()));
    value
        .checked_mul(scale)
        .map_or(Money::from_minor(i64::MAX), Money::rounded_minor)
}

impl Saying<'_> {
    /// The working of a value.
    pub(crate) fn formula(&self, expr: &Expr) -> String {
        match expr {
            Expr::Name(name) if self.worked.sheet.answer(name).is_some() => {
                let answer = self.worked.sheet.answer(name);
                let given = self.worked.inputs.answers.contains_key(name);
                match answer {
                    Some(answer) if given => format!("{}, your answer", low(&answer.label)),
                    _ => "not answered, so nothing".to_owned(),
                }
            }
            _ => self.say(expr).words,
        }
    }

    fn amount(&self, value: Decimal) -> String {
        // A rate for a mile has more places than an amount that is paid.
        if value.normalize().scale() > self.currency.decimals() {
            return value.normalize().to_string();
        }
        self.currency.show(money(value, self.currency))
    }

    fn share(value: Decimal) -> String {
        format!(
            "{} %",
            (value * Decimal::ONE_HUNDRED).round_dp(4).normalize()
        )
    }

    fn shown(&self, value: Decimal, unit: Unit) -> String {
        match unit {
            Unit::Amount => self.amount(value),
            Unit::Percent => Self::share(value),
            Unit::Count => value.round_dp(4).normalize().to_string(),
        }
    }

    fn unit(&self, name: &str) -> Unit {
        if let Some(idx) = self.worked.index(name) {
            return self.worked.sheet.lines[idx].unit;
        }
        if let Some(answer) = self.worked.sheet.answer(name) {
            return match answer.kind {
                AnswerKind::Percent => Unit::Percent,
                AnswerKind::Count => Unit::Count,
                _ => Unit::Amount,
            };
        }
        let figure = self.worked.rates.figure(name);
        let first = figure.and_then(|figure| figure.value.values.values().next());
        first.map_or(Unit::Amount, |figured| figured.unit)
    }

    fn name(&self, name: &str) -> String {
        let unit = self.unit(name);
        let value = self.shown(self.worked.named(name), unit);
        if let Some(no) = (self.numbers)(name) {
            return format!("{value} (line {no})");
        }
        let label = if let Some(idx) = self.worked.index(name) {
            low(&self.worked.sheet.lines[idx].label)
        } else if let Some(answer) = self.worked.sheet.answer(name) {
            low(&answer.label)
        } else if let Some(figure) = self.worked.rates.figure(name) {
            if unit == Unit::Percent {
                return value;
            }
            figure.label.clone()
        } else {
            let fact = BOOK_FACTS.iter().find(|(fact, _words)| *fact == name);
            fact.map_or(name, |(_fact, words)| *words).to_owned()
        };
        format!("{value} ({label})")
    }

    /// Whether a part of a sum is nothing and stands in no line, so that naming it would only puzzle.
    fn is_silent(&self, expr: &Expr) -> bool {
        let is_shown = match expr {
            Expr::Name(name) => {
                (self.numbers)(name).is_some() || self.worked.rates.figure(name).is_some()
            }
            Expr::Number(_) | Expr::WithoutBusiness(_) => true,
            _ => false,
        };
        !is_shown && self.value(expr).is_zero()
    }

    fn is_share(&self, expr: &Expr) -> bool {
        match expr {
            Expr::Percent(_) | Expr::RateOf(..) => true,
            Expr::Name(name) => self.unit(name) == Unit::Percent,
            _ => false,
        }
    }

    fn value(&self, expr: &Expr) -> Decimal {
        self.worked.number(expr).unwrap_or_default()
    }

    fn say(&self, expr: &Expr) -> Said {
        match expr {
            Expr::Number(number) => Said::plain(number.normalize().to_string()),
            Expr::Percent(number) => Said::plain(format!("{} %", number.normalize())),
            Expr::Name(name) => Said::plain(self.name(name)),
            Expr::Negative(one) => Said::plain(format!("\u{2212}{}", self.say(one).factor())),
            Expr::Arithmetic(Sum::Add, a, b) => self.sum(a, b, "+"),
            Expr::Arithmetic(Sum::Subtract, a, b) => self.sum(a, b, "\u{2212}"),
            Expr::Arithmetic(Sum::Multiply, a, b) => Said::plain(if self.is_share(a) {
                format!("{} of {}", self.say(a).words, self.say(b).factor())
            } else if self.is_share(b) {
                format!("{} of {}", self.say(b).words, self.say(a).factor())
            } else {
                self.product(a, b)
            }),
            Expr::Arithmetic(Sum::Divide, a, b) => Said::plain(format!(
                "{} \u{f7} {}",
                self.say(a).factor(),
                self.say(b).factor()
            )),
            Expr::Call(function, values) => self.call(*function, values),
            Expr::If(condition, then, otherwise) => {
                let holds = self.worked.truth(condition).unwrap_or_default();
                let chosen = if holds { then } else { otherwise };
                if matches!(chosen.as_ref(), Expr::Number(number) if number.is_zero()) {
                    return Said::plain(format!("nothing, as {}", self.because(condition, holds)));
                }
                self.say(chosen)
            }
            Expr::Bands(amount, table) => Said::plain(self.by_bands(amount, table)),
            Expr::RateOf(..) => Said::plain(Self::share(self.value(expr))),
            Expr::WithoutBusiness(line) => {
                let value = self.amount(self.worked.without(line));
                let number = (self.numbers)(line);
                let which = number.map_or_else(String::new, |no| format!("line {no} of "));
                Said::plain(format!(
                    "{which}the same sheet without the business: {value}"
                ))
            }
            _ => Said::plain(self.because(expr, true)),
        }
    }

    fn product(&self, a: &Expr, b: &Expr) -> String {
        let (left, right) = (self.say(a).factor(), self.say(b).factor());
        // What was left out of a sum may have left a bare 1.
        match (left.as_str(), right.as_str()) {
            (_, "1") => left,
            ("1", _) => right,
            _ => format!("{left} \u{d7} {right}"),
        }
    }

    fn sum(&self, a: &Expr, b: &Expr, sign: &str) -> Said {
        if self.is_silent(b) {
            return self.say(a);
        }
        if self.is_silent(a) && sign == "+" {
            return self.say(b);
        }
        let right = self.say(b);
        // A sum taken away keeps its parentheses.
        let right = if sign == "+" {
            right.words
        } else {
            right.factor()
        };
        Said {
            words: format!("{} {sign} {right}", self.say(a).words),
            is_sum: true,
        }
    }

    fn call(&self, function: Function, values: &[Expr]) -> Said {
        let all = || -> Vec<String> {
            let parts = values.iter().map(|value| {
                let words = self.say(value).words;
                match value {
                    Expr::Call(Function::Min | Function::Max, _) => format!("({words})"),
                    _ => words,
                }
            });
            parts.collect()
        };
        match (function, values) {
            (Function::Min, _) => Said::plain(format!("the smaller of {}", list(&all()))),
            (Function::Max, _) => Said::plain(format!("the larger of {}", list(&all()))),
            (Function::Clip, [one]) => {
                let said = self.say(one);
                if self.value(one).is_sign_negative() && !self.value(one).is_zero() {
                    Said::plain(format!("nothing, as {} is below nothing", said.words))
                } else {
                    said
                }
            }
            (Function::Taper, [amount, start, width]) => Said::plain(format!(
                "({} \u{2212} {}) \u{f7} {}, from 0 to 1",
                self.say(amount).words,
                self.say(start).factor(),
                self.say(width).factor()
            )),
            (Function::Round, [one, step]) => Said::plain(format!(
                "{}, to the nearest {}",
                self.say(one).words,
                self.say(step).words
            )),
            (Function::RoundDown, [one, step]) => Said::plain(format!(
                "{}, down to a full {}",
                self.say(one).words,
                self.say(step).words
            )),
            _ => Said::plain(list(&all())),
        }
    }

    fn by_bands(&self, amount: &Expr, table: &str) -> String {
        let value = self.value(amount);
        let parts: Vec<String> = self
            .worked
            .bands(table)
            .map(|bands| bands.all())
            .unwrap_or_default()
            .iter()
            .filter(|band| !band.part_of(value).is_zero())
            .map(|band| {
                let part = self.amount(band.part_of(value));
                format!("{} % of {part}", band.rate.normalize())
            })
            .collect();
        let of = self.say(amount).words;
        if parts.is_empty() {
            return format!("nothing of {of}");
        }
        format!("by the bands of {of}: {}", parts.join(" + "))
    }

    fn because(&self, expr: &Expr, holds: bool) -> String {
        match expr {
            Expr::Compare(order, a, b) => {
                let words = match (order, holds) {
                    (Order::Less, true) | (Order::AtLeast, false) => "is below",
                    (Order::AtMost, true) | (Order::More, false) => "is not above",
                    (Order::More, true) | (Order::AtMost, false) => "is above",
                    (Order::AtLeast, true) | (Order::Less, false) => "is not below",
                    (Order::Equal, true) => "is",
                    (Order::Equal, false) => "is not",
                };
                format!("{} {words} {}", self.say(a).words, self.say(b).words)
            }
            Expr::Is(name, word) => {
                let answer = self.worked.sheet.answer(name);
                let label = answer.map_or_else(|| name.clone(), |answer| low(&answer.label));
                let chosen = answer.and_then(|answer| match &answer.kind {
                    AnswerKind::Choice(choices) => choices.iter().find(|one| one.key == *word),
                    _ => None,
                });
                let chosen = chosen.map_or(word.as_str(), |one| one.label.as_str());
                format!(
                    "{label} is {}{}",
                    if holds { "" } else { "not " },
                    low(chosen)
                )
            }
            Expr::Not(one) => self.because(one, !holds),
            Expr::And(a, b) | Expr::Or(a, b) => {
                // The first part that decides is reason enough.
                let decides = |one: &Expr| self.worked.truth(one).is_ok_and(|is| is == holds);
                let needs_both = matches!(expr, Expr::And(..)) == holds;
                if needs_both {
                    format!("{} and {}", self.because(a, holds), self.because(b, holds))
                } else if decides(a) {
                    self.because(a, holds)
                } else {
                    self.because(b, holds)
                }
            }
            Expr::Answered(name) | Expr::Name(name) => {
                let answer = self.worked.sheet.answer(name);
                let label = answer.map_or_else(|| name.clone(), |answer| low(&answer.label));
                let words = match (expr, holds) {
                    (Expr::Answered(_), true) => "is answered",
                    (Expr::Answered(_), false) => "is not answered",
                    (_, true) => "is so",
                    (_, false) => "is not so",
                };
                format!("{label} {words}")
            }
            _ => self.say(expr).words,
        }
    }
}

/// A label inside a sentence: its first letter small, unless the word is all capitals.
pub(crate) fn low(label: &str) -> String {
    let mut chars = label.chars();
    let Some(first) = chars.next() else {
        return String::new();
    };
    let rest = chars.as_str();
    if rest
        .chars()
        .next()
        .is_some_and(|c| c.is_uppercase() || c == ' ')
    {
        label.to_owned()
    } else {
        format!("{}{rest}", first.to_lowercase())
    }
}

fn list(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

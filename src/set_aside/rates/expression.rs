//! The little language of a worksheet's lines: numbers, names, arithmetic, comparisons and a few functions.
//! Reading only; what names stand for and what comes out is `check`'s and `evaluate`'s.

use rust_decimal::Decimal;

/// A reading of a line's value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Expr {
    /// A plain number.
    Number(Decimal),
    /// A share written with its sign: `90 %`.
    Percent(Decimal),
    /// A fact, an answer, a figure or an earlier line.
    Name(String),
    /// Below nothing.
    Negative(Box<Expr>),
    /// Two numbers.
    Arithmetic(Sum, Box<Expr>, Box<Expr>),
    /// Two numbers compared.
    Compare(Order, Box<Expr>, Box<Expr>),
    /// A choice is this word.
    Is(String, String),
    /// Both.
    And(Box<Expr>, Box<Expr>),
    /// One of them.
    Or(Box<Expr>, Box<Expr>),
    /// The contrary.
    Not(Box<Expr>),
    /// A function of numbers.
    Call(Function, Vec<Expr>),
    /// One of two values.
    If(Box<Expr>, Box<Expr>, Box<Expr>),
    /// The amount by the bands of a table.
    Bands(Box<Expr>, String),
    /// The rate of the band an amount lies in.
    RateOf(Box<Expr>, String),
    /// An earlier line of the same sheet with no business profit.
    WithoutBusiness(String),
    /// Whether the owner gave an answer.
    Answered(String),
}

/// What is done with two numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sum {
    Add,
    Subtract,
    Multiply,
    Divide,
}

/// How two numbers are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Order {
    Less,
    AtMost,
    More,
    AtLeast,
    Equal,
}

/// A function of numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Function {
    /// The smallest.
    Min,
    /// The largest.
    Max,
    /// The number, not below nothing.
    Clip,
    /// How far an amount has come from a start through a width, between 0 and 1.
    Taper,
    /// To the nearest multiple of a step, half away from nothing.
    Round,
    /// Down to a multiple of a step.
    RoundDown,
}

impl Function {
    fn named(name: &str) -> Option<(Self, std::ops::RangeInclusive<usize>)> {
        Some(match name {
            "min" => (Self::Min, 2..=8),
            "max" => (Self::Max, 2..=8),
            "clip" => (Self::Clip, 1..=1),
            "taper" => (Self::Taper, 3..=3),
            "round" => (Self::Round, 2..=2),
            "round_down" => (Self::RoundDown, 2..=2),
            _ => return None,
        })
    }
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Token {
    Number(Decimal),
    Word(String),
    Sign(&'static str),
}

const SIGNS: &[&str] = &[
    "<=", ">=", "(", ")", ",", "+", "-", "*", "/", "<", ">", "=", "%",
];

/// How deep parentheses may nest.
const DEPTH: u32 = 40;

fn tokens(text: &str) -> Result<Vec<Token>, String> {
    let mut found = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let taken = if first.is_ascii_digit() {
            let end = end_of(rest, |c| c.is_ascii_digit() || c == '.');
            let number = rest[..end]
                .parse()
                .map_err(|_not| format!("'{}' is not a number", &rest[..end]))?;
            found.push(Token::Number(number));
            end
        } else if first.is_ascii_lowercase() {
            let end = end_of(rest, |c| {
                c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_'
            });
            found.push(Token::Word(rest[..end].to_owned()));
            end
        } else if let Some(sign) = SIGNS.iter().find(|sign| rest.starts_with(**sign)) {
            found.push(Token::Sign(sign));
            sign.len()
        } else {
            return Err(format!("'{first}' means nothing here"));
        };
        rest = rest[taken..].trim_start();
    }
    Ok(found)
}

fn end_of(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

/// Reads a value.
///
/// # Errors
/// What is wrong with it, in words.
pub(crate) fn parse(text: &str) -> Result<Expr, String> {
    let mut reader = Reader {
        tokens: tokens(text)?,
        at: 0,
        depth: 0,
    };
    if reader.tokens.is_empty() {
        return Err("there is nothing to work out".to_owned());
    }
    let expr = reader.any()?;
    match reader.tokens.get(reader.at) {
        None => Ok(expr),
        Some(token) => Err(format!("'{}' is not expected there", show(token))),
    }
}

fn show(token: &Token) -> String {
    match token {
        Token::Number(number) => number.to_string(),
        Token::Word(word) => word.clone(),
        Token::Sign(sign) => (*sign).to_owned(),
    }
}

struct Reader {
    tokens: Vec<Token>,
    at: usize,
    depth: u32,
}

impl Reader {
    fn takes(&mut self, sign: &str) -> bool {
        let is_it = matches!(self.tokens.get(self.at), Some(Token::Sign(next)) if *next == sign);
        self.at += usize::from(is_it);
        is_it
    }

    fn takes_word(&mut self, word: &str) -> bool {
        let is_it = matches!(self.tokens.get(self.at), Some(Token::Word(next)) if next == word);
        self.at += usize::from(is_it);
        is_it
    }

    fn needs(&mut self, sign: &str) -> Result<(), String> {
        if self.takes(sign) {
            Ok(())
        } else {
            Err(format!("'{sign}' is missing"))
        }
    }

    fn word(&mut self) -> Result<String, String> {
        match self.tokens.get(self.at) {
            Some(Token::Word(word)) => {
                self.at += 1;
                Ok(word.clone())
            }
            _ => Err("a name is missing".to_owned()),
        }
    }

    fn any(&mut self) -> Result<Expr, String> {
        self.depth += 1;
        if self.depth > DEPTH {
            return Err("the parentheses nest too deep".to_owned());
        }
        let mut left = self.both()?;
        while self.takes_word("or") {
            left = Expr::Or(Box::new(left), Box::new(self.both()?));
        }
        self.depth -= 1;
        Ok(left)
    }

    fn both(&mut self) -> Result<Expr, String> {
        let mut left = self.truth()?;
        while self.takes_word("and") {
            left = Expr::And(Box::new(left), Box::new(self.truth()?));
        }
        Ok(left)
    }

    fn truth(&mut self) -> Result<Expr, String> {
        if self.takes_word("not") {
            self.depth += 1;
            if self.depth > DEPTH {
                return Err("the value nests too deep".to_owned());
            }
            let inner = self.truth()?;
            self.depth -= 1;
            return Ok(Expr::Not(Box::new(inner)));
        }
        let left = self.sum()?;
        if self.takes_word("is") {
            let Expr::Name(name) = left else {
                return Err("'is' follows the name of a choice".to_owned());
            };
            return Ok(Expr::Is(name, self.word()?));
        }
        let orders = [
            ("<=", Order::AtMost),
            (">=", Order::AtLeast),
            ("<", Order::Less),
            (">", Order::More),
            ("=", Order::Equal),
        ];
        for (sign, order) in orders {
            if self.takes(sign) {
                return Ok(Expr::Compare(order, Box::new(left), Box::new(self.sum()?)));
            }
        }
        Ok(left)
    }

    fn sum(&mut self) -> Result<Expr, String> {
        let mut left = self.product()?;
        loop {
            let sum = if self.takes("+") {
                Sum::Add
            } else if self.takes("-") {
                Sum::Subtract
            } else {
                return Ok(left);
            };
            left = Expr::Arithmetic(sum, Box::new(left), Box::new(self.product()?));
        }
    }

    fn product(&mut self) -> Result<Expr, String> {
        let mut left = self.single()?;
        loop {
            let sum = if self.takes("*") {
                Sum::Multiply
            } else if self.takes("/") {
                Sum::Divide
            } else {
                return Ok(left);
            };
            left = Expr::Arithmetic(sum, Box::new(left), Box::new(self.single()?));
        }
    }

    fn single(&mut self) -> Result<Expr, String> {
        if self.takes("-") {
            self.depth += 1;
            if self.depth > DEPTH {
                return Err("the value nests too deep".to_owned());
            }
            let inner = self.single()?;
            self.depth -= 1;
            return Ok(Expr::Negative(Box::new(inner)));
        }
        if self.takes("(") {
            let inner = self.any()?;
            self.needs(")")?;
            return Ok(inner);
        }
        match self.tokens.get(self.at).cloned() {
            Some(Token::Number(number)) => {
                self.at += 1;
                Ok(if self.takes("%") {
                    Expr::Percent(number)
                } else {
                    Expr::Number(number)
                })
            }
            Some(Token::Word(word)) => {
                self.at += 1;
                if self.takes("(") {
                    self.call(&word)
                } else {
                    Ok(Expr::Name(word))
                }
            }
            Some(token) => Err(format!("'{}' is not expected there", show(&token))),
            None => Err("the end comes too soon".to_owned()),
        }
    }

    fn call(&mut self, name: &str) -> Result<Expr, String> {
        let expr = match name {
            "bands" | "rate_of" => {
                let amount = Box::new(self.any()?);
                self.needs(",")?;
                let table = self.word()?;
                if name == "bands" {
                    Expr::Bands(amount, table)
                } else {
                    Expr::RateOf(amount, table)
                }
            }
            "without_business" => Expr::WithoutBusiness(self.word()?),
            "answered" => Expr::Answered(self.word()?),
            "if" => {
                let condition = Box::new(self.any()?);
                self.needs(",")?;
                let then = Box::new(self.any()?);
                self.needs(",")?;
                Expr::If(condition, then, Box::new(self.any()?))
            }
            _ => {
                let (function, count) = Function::named(name)
                    .ok_or_else(|| format!("there is no function '{name}'"))?;
                let mut values = vec![self.any()?];
                while self.takes(",") {
                    values.push(self.any()?);
                }
                if !count.contains(&values.len()) {
                    return Err(format!(
                        "'{name}' cannot be worked out of {} values",
                        values.len()
                    ));
                }
                Expr::Call(function, values)
            }
        };
        self.needs(")")?;
        Ok(expr)
    }
}

impl Expr {
    /// Its parts, each once.
    pub(crate) fn parts(&self) -> Vec<&Self> {
        match self {
            Self::Number(_)
            | Self::Percent(_)
            | Self::Name(_)
            | Self::Is(..)
            | Self::WithoutBusiness(_)
            | Self::Answered(_) => Vec::new(),
            Self::Negative(one) | Self::Not(one) | Self::Bands(one, _) | Self::RateOf(one, _) => {
                vec![one]
            }
            Self::Arithmetic(_, a, b)
            | Self::Compare(_, a, b)
            | Self::And(a, b)
            | Self::Or(a, b) => vec![a, b],
            Self::Call(_, values) => values.iter().collect(),
            Self::If(a, b, c) => vec![a, b, c],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_bind_closer_than_sums() {
        let name = |text: &str| Box::new(Expr::Name(text.to_owned()));
        assert_eq!(
            parse("a + b * c"),
            Ok(Expr::Arithmetic(
                Sum::Add,
                name("a"),
                Box::new(Expr::Arithmetic(Sum::Multiply, name("b"), name("c")))
            ))
        );
        assert!(parse("if(how is joint and not (a < 3), min(a, 2), 90 % * a)").is_ok());
    }

    #[test]
    fn what_cannot_be_read_is_named() {
        for (text, wanted) in [
            ("", "nothing to work out"),
            ("a +", "too soon"),
            ("a b", "'b' is not expected"),
            ("min(a)", "'min' cannot"),
            ("sin(a)", "no function 'sin'"),
            ("(a", "')' is missing"),
            ("1.2.3", "not a number"),
            ("a ; b", "';' means nothing"),
            ("3 is joint", "the name of a choice"),
            ("bands(a)", "',' is missing"),
        ] {
            let error = parse(text).expect_err(text);
            assert!(error.contains(wanted), "{text}: {error}");
        }
        let deep = format!("{}a{}", "(".repeat(100), ")".repeat(100));
        assert!(parse(&deep).expect_err("deep").contains("too deep"));
        let deep = format!("{}a", "-".repeat(100));
        assert!(parse(&deep).expect_err("deep").contains("too deep"));
    }
}

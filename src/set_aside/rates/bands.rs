//! Bands of a rate table: each from where the one before ended, with its rate; the last one open.
//! Reading and checking them, and what an amount comes to by them.

use rust_decimal::Decimal;

/// One band.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// Where it begins.
    pub from: Decimal,
    /// Where it ends; `None` for the last.
    pub to: Option<Decimal>,
    /// Its rate in per cent.
    pub rate: Decimal,
}

impl Band {
    /// The part of an amount that lies in it.
    #[must_use]
    pub fn part_of(&self, amount: Decimal) -> Decimal {
        let top = self.to.map_or(amount, |to| to.min(amount));
        (top - self.from).max(Decimal::ZERO)
    }
}

/// Bands that follow each other from nothing without end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bands(Vec<Band>);

impl Bands {
    /// Reads rows of from, to and rate in per cent; the last has no end.
    ///
    /// # Errors
    /// The row, from 1, and what is wrong with it: a hole, an overlap, thresholds that fall, a rate that cannot be.
    pub fn read(rows: &[Vec<String>]) -> Result<Self, (usize, String)> {
        let mut bands: Vec<Band> = Vec::with_capacity(rows.len());
        for (row, no) in rows.iter().zip(1..) {
            let band = band(row, no == rows.len()).map_err(|why| (no, why))?;
            let begins = bands.last().map_or(Some(Decimal::ZERO), |last| last.to);
            let Some(begins) = begins else {
                return Err((no, "it follows a band without an end".to_owned()));
            };
            if band.from > begins {
                return Err((no, format!("nothing holds from {begins} to {}", band.from)));
            }
            if band.from < begins {
                let why = if no == 1 {
                    format!("it begins at {}, not at 0", band.from)
                } else {
                    format!("two bands hold from {} to {begins}", band.from)
                };
                return Err((no, why));
            }
            bands.push(band);
        }
        if bands.is_empty() {
            return Err((1, "it has no bands".to_owned()));
        }
        Ok(Self(bands))
    }

    /// The bands in their order.
    #[must_use]
    pub fn all(&self) -> &[Band] {
        &self.0
    }

    /// What an amount comes to; nothing for none or less.
    #[must_use]
    pub fn on(&self, amount: Decimal) -> Decimal {
        self.0
            .iter()
            .map(|band| band.part_of(amount) * band.rate / Decimal::ONE_HUNDRED)
            .sum()
    }

    /// The rate of the band that the last of an amount lies in, in per cent.
    #[must_use]
    pub fn rate_at(&self, amount: Decimal) -> Decimal {
        let reached = self.0.iter().rev().find(|band| band.from < amount);
        reached
            .or(self.0.first())
            .map_or(Decimal::ZERO, |band| band.rate)
    }
}

fn band(row: &[String], is_last: bool) -> Result<Band, String> {
    let [from, to, rate] = row else {
        return Err("a band has three values: from, to, rate".to_owned());
    };
    let from = number(from)?;
    let rate = number(rate)?;
    let to = if to.trim().is_empty() {
        None
    } else {
        Some(number(to)?)
    };
    if to.is_none() != is_last {
        return Err(if is_last {
            "the last band must be without an end".to_owned()
        } else {
            "only the last band is without an end".to_owned()
        });
    }
    if to.is_some_and(|to| to <= from) {
        return Err(format!(
            "it falls from {from} to {}",
            to.unwrap_or_default()
        ));
    }
    if rate.is_sign_negative() || rate > Decimal::ONE_HUNDRED {
        return Err(format!("{rate} is not a rate from 0 to 100 per cent"));
    }
    Ok(Band { from, to, rate })
}

/// A number of a rates file: digits and a point.
pub(crate) fn number(text: &str) -> Result<Decimal, String> {
    let text = text.trim();
    let is_plain = text
        .chars()
        .all(|c| c.is_ascii_digit() || c == '.' || c == '-');
    text.parse::<Decimal>()
        .ok()
        .filter(|value| is_plain && value.abs() <= Decimal::from(1_000_000_000_000_i64))
        .ok_or_else(|| format!("'{text}' is not a number such as 12400 or 92.35"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(rows: &[[&str; 3]]) -> Result<Bands, (usize, String)> {
        let rows: Vec<Vec<String>> = rows
            .iter()
            .map(|row| row.iter().map(|text| (*text).to_owned()).collect())
            .collect();
        Bands::read(&rows)
    }

    #[test]
    fn holes_overlaps_and_falling_thresholds_are_refused() {
        for (rows, no, wanted) in [
            (
                vec![["0", "10", "1"], ["12", "", "2"]],
                2,
                "nothing holds from 10 to 12",
            ),
            (
                vec![["0", "10", "1"], ["8", "", "2"]],
                2,
                "two bands hold from 8 to 10",
            ),
            (
                vec![["0", "10", "1"], ["10", "5", "2"], ["5", "", "3"]],
                2,
                "it falls from 10 to 5",
            ),
            (
                vec![["0", "10", "1"]],
                1,
                "the last band must be without an end",
            ),
            (vec![["0", "", "1"], ["10", "", "2"]], 1, "only the last"),
            (vec![["5", "", "1"]], 1, "nothing holds from 0 to 5"),
            (vec![["0", "", "101"]], 1, "not a rate"),
            (vec![["0", "", "x"]], 1, "not a number"),
            (vec![], 1, "no bands"),
        ] {
            let (row, why) = read(&rows).expect_err(wanted);
            assert_eq!(row, no, "{why}");
            assert!(why.contains(wanted), "{why}");
        }
        assert!(read(&[["0", "10", "0"], ["10", "", "2"]]).is_ok());
    }
}

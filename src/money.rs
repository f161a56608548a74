//! Exact money: amounts in minor units, currencies, quantities, percentages, and splitting without loss.
//! Reading and writing of amounts lives here too; what an amount *means* does not.

mod amount;
mod currency;
mod error;
mod measure;
mod reading;

pub use amount::Money;
pub use currency::Currency;
pub use error::AmountError;
pub use measure::{Percent, Quantity, unit_cost};

#[cfg(test)]
mod tests {
    use rust_decimal::Decimal;

    use super::*;

    fn usd() -> Currency {
        Currency::from_code("USD").expect("ISO 4217 has it")
    }

    #[test]
    fn typed_amounts_are_understood() {
        for (text, minor) in [
            ("12", 1200),
            ("12.5", 1250),
            ("1,234.50", 123_450),
            ("$12.50", 1250),
            ("12,5 ", 1250),
            ("3*4.99", 1497),
            ("10 + 2.50", 1250),
            ("29/50", 58),
            ("1.234,50", 123_450),
            ("1,234", 123_400),
            ("100-0.01", 9999),
            ("\u{2212}4.20", -420),
            ("100/3", 3333),
        ] {
            assert_eq!(
                usd().parse_typed(text),
                Ok(Money::from_minor(minor)),
                "{text}"
            );
        }
    }

    #[test]
    fn unclear_amounts_are_refused() {
        for text in [
            "", "abc", "1,2,3", "12.345", "1..2", "5/0", "*3", "1 2x", "--2", "12,3456",
        ] {
            assert!(usd().parse_typed(text).is_err(), "{text}");
        }
        for text in [
            "1,234.50",
            "$5",
            "1e3",
            "",
            "-",
            ".",
            "12.345",
            "--1",
            "+1",
            "99999999999999",
        ] {
            assert!(usd().parse_plain(text).is_err(), "{text}");
        }
    }

    #[test]
    fn an_amount_with_separators_is_shown_as_sheets_take_it() {
        for (text, plain) in [
            ("1,234.50", "1234.50"),
            ("1.234,50", "1234.50"),
            ("12,50", "12.50"),
            ("1 234.5", "1234.50"),
            ("1'234.50", "1234.50"),
            ("-1,234.50", "-1234.50"),
            ("\u{2212}4.20", "-4.20"),
            ("$5", "5.00"),
        ] {
            let said = usd().parse_plain(text).expect_err(text).to_string();
            assert_eq!(
                said,
                format!(
                    "'{text}' is not an amount as sheets take it: with a decimal point and no thousands separator; \
                     write {plain}"
                )
            );
        }
        for text in ["3*4.99", "10-2", "1,2,3", "twelve"] {
            let said = usd().parse_plain(text).expect_err(text).to_string();
            assert_eq!(said, format!("'{text}' is not an amount"));
        }
    }

    /// Decimals of the minor unit: ISO 4217 list one (JPY 0, KWD 3).
    #[test]
    fn currencies_have_their_own_decimals() {
        let yen = Currency::from_code("jpy").expect("yen");
        assert_eq!(yen.parse_plain("1234"), Ok(Money::from_minor(1234)));
        assert!(yen.parse_plain("12.5").is_err());
        let dinar = Currency::from_code("KWD").expect("dinar");
        assert_eq!(dinar.plain(Money::from_minor(1234)), "1.234");
        assert!(Currency::from_code("ZZZ").is_err());
    }

    #[test]
    fn negatives_stand_in_parentheses_on_statements() {
        let amount = Money::from_minor(-123_450);
        assert_eq!(usd().statement(amount), "(1,234.50)");
        assert_eq!(usd().show(amount), "\u{2212}1,234.50");
        assert_eq!(usd().plain(amount), "-1234.50");
    }

    /// Common practice, no source: 50 for 29.00 cost 0.58 each, 300 for 100.00 cost 0.3333 each.
    #[test]
    fn unit_costs_show_four_places() {
        for (minor, pieces, each) in [(2900, 50, "0.58"), (10_000, 300, "0.3333")] {
            let quantity = Quantity::new(Decimal::from(pieces)).expect("whole");
            let cost = unit_cost(Money::from_minor(minor), quantity, &usd()).expect("not zero");
            assert_eq!(cost.normalize().to_string(), each);
        }
    }

    #[test]
    fn halves_round_away_from_zero() {
        assert_eq!(
            Money::from_minor(1).times(Decimal::new(5, 1)),
            Money::from_minor(1)
        );
        assert_eq!(
            Money::from_minor(-1).times(Decimal::new(5, 1)),
            Money::from_minor(-1)
        );
    }
}

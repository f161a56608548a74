//! How a kind of shop file is read: what each column means, what the words of its rows mean, and how it writes dates,
//! amounts and fees. The owner's own words for it are kept by name in the book.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::bank::DateOrder;
use crate::happenings::ChargeKind;
use crate::word_list::word_list;

use super::guess_columns;

word_list! {
    /// What a file of a shop holds.
    FileKind, "a kind of shop file":
    /// Orders, one row a thing that was sold.
    Orders = "orders" / "Orders",
    /// Payouts and charges, one row a movement of the money.
    Payouts = "payouts" / "Payouts and charges",
}

word_list! {
    /// What a column of a shop's file means.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    ColumnMeaning, "a meaning of a column":
    /// The order's number.
    Order = "order" / "Order number",
    /// The day.
    Date = "date" / "Day",
    /// What was sold, in words.
    Item = "item" / "What was sold",
    /// The number of the thing as it was listed.
    Listing = "listing" / "Number of the listing",
    /// The maker's own code of the product.
    Code = "code" / "Code of the product",
    /// How many pieces.
    Quantity = "quantity" / "How many",
    /// The price of one piece.
    Price = "price" / "Price of one",
    /// The price of all pieces of the row.
    LinePrice = "line-price" / "Price of the row",
    /// What was taken off the price.
    Discount = "discount" / "Discount",
    /// Postage that the customer paid.
    Postage = "postage" / "Postage charged",
    /// Sales tax that the maker pays over.
    TaxOurs = "tax-ours" / "Tax you pay over",
    /// Sales tax that the shop pays over itself.
    TaxByChannel = "tax-by-channel" / "Tax the shop pays over",
    /// The fee for listing.
    FeeListing = "fee-listing" / "Listing fee",
    /// The shop's share.
    FeeCommission = "fee-commission" / "Selling fee",
    /// The fee for taking the money.
    FeeProcessing = "fee-processing" / "Payment processing fee",
    /// Any other fee.
    FeeOther = "fee-other" / "Other fee",
    /// What the customer got back.
    Refund = "refund" / "Given back",
    /// The day it was given back.
    RefundDate = "refund-date" / "Day it was given back",
    /// Whether the order was cancelled.
    Status = "status" / "State of the order",
    /// The currency of the amounts.
    Currency = "currency" / "Currency",
    /// What the customer paid in all; only compared.
    Total = "total" / "What the customer paid",
    /// What the customer paid in all in the book's currency.
    BookTotal = "book-total" / "Total in the book's currency",
    /// What kind of movement the row is.
    Type = "type" / "Kind of row",
    /// The amount that moved the shop's balance.
    Amount = "amount" / "Amount",
    /// The payout's number.
    Payout = "payout" / "Payout number",
    /// The row's own number.
    Row = "row" / "Number of the row",
    /// Nothing that the books need.
    Nothing = "nothing" / "Not needed",
}

impl ColumnMeaning {
    /// Whether the column holds amounts.
    #[must_use]
    pub const fn is_amount(self) -> bool {
        matches!(
            self,
            Self::Price | Self::LinePrice | Self::Amount | Self::Total | Self::BookTotal
        ) || self.is_of_order()
    }

    /// Whether it is an amount that may stand for the whole order or for one row of it.
    #[must_use]
    pub const fn is_of_order(self) -> bool {
        matches!(
            self,
            Self::Discount | Self::Postage | Self::TaxOurs | Self::TaxByChannel | Self::Refund
        ) || self.charge().is_some()
    }

    /// The charge that the column holds, if it holds one.
    #[must_use]
    pub const fn charge(self) -> Option<ChargeKind> {
        match self {
            Self::FeeListing => Some(ChargeKind::Listing),
            Self::FeeCommission => Some(ChargeKind::Commission),
            Self::FeeProcessing => Some(ChargeKind::Processing),
            Self::FeeOther => Some(ChargeKind::Other),
            _ => None,
        }
    }

    /// Whether files of this kind can have it.
    #[must_use]
    pub const fn is_for(self, kind: FileKind) -> bool {
        match kind {
            FileKind::Orders => {
                !matches!(self, Self::Type | Self::Amount | Self::Payout | Self::Row)
            }
            FileKind::Payouts => {
                matches!(
                    self,
                    Self::Order
                        | Self::Date
                        | Self::Item
                        | Self::Currency
                        | Self::Type
                        | Self::Amount
                        | Self::Payout
                        | Self::Row
                        | Self::Nothing
                ) || self.charge().is_some()
            }
        }
    }
}

word_list! {
    /// What a row of a shop's file of charges is.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    RowMeaning, "a meaning of a row":
    /// What a customer paid.
    Sale = "sale" / "A sale",
    /// Postage that a customer paid, on a row of its own.
    Postage = "postage" / "Postage charged",
    /// A discount, on a row of its own.
    Discount = "discount" / "A discount given",
    /// Sales tax that the maker pays over.
    TaxOurs = "tax-ours" / "Tax you pay over",
    /// Sales tax that the shop takes out and pays over.
    TaxByChannel = "tax-by-channel" / "Tax the shop pays over",
    /// Money given back to a customer.
    Refund = "refund" / "Money given back",
    /// A listing fee.
    FeeListing = "fee-listing" / "A listing fee",
    /// The shop's share.
    FeeCommission = "fee-commission" / "A selling fee",
    /// A fee for taking the money.
    FeeProcessing = "fee-processing" / "A payment processing fee",
    /// Advertising.
    FeeAdvertising = "fee-advertising" / "Advertising",
    /// Any other fee.
    FeeOther = "fee-other" / "Another fee",
    /// A postage label.
    Label = "label" / "A postage label",
    /// Money paid out to the bank, or paid to the shop when it is the other way.
    Payout = "payout" / "A payout",
    /// Money held back.
    Held = "held" / "Money held back",
    /// Held money let go.
    Released = "released" / "Held money let go",
    /// Nothing that the books need.
    Ignore = "ignore" / "Nothing for the books",
}

impl RowMeaning {
    /// The charge that such a row is, if it is one.
    #[must_use]
    pub const fn charge(self) -> Option<ChargeKind> {
        match self {
            Self::FeeListing => Some(ChargeKind::Listing),
            Self::FeeCommission => Some(ChargeKind::Commission),
            Self::FeeProcessing => Some(ChargeKind::Processing),
            Self::FeeAdvertising => Some(ChargeKind::Advertising),
            Self::FeeOther => Some(ChargeKind::Other),
            Self::Label => Some(ChargeKind::Label),
            _ => None,
        }
    }

    /// The row that a charge is told by.
    #[must_use]
    pub const fn of_charge(kind: ChargeKind) -> Self {
        match kind {
            ChargeKind::Listing => Self::FeeListing,
            ChargeKind::Commission => Self::FeeCommission,
            ChargeKind::Processing => Self::FeeProcessing,
            ChargeKind::Advertising => Self::FeeAdvertising,
            ChargeKind::Label => Self::Label,
            ChargeKind::Other => Self::FeeOther,
        }
    }

    /// Whether such a row takes something out of the shop's balance, when it is no correction.
    #[must_use]
    pub const fn is_against(self) -> bool {
        self.charge().is_some()
            || matches!(
                self,
                Self::Refund | Self::Payout | Self::Held | Self::Discount | Self::TaxByChannel
            )
    }

    /// Whether it is a part of what a customer paid.
    #[must_use]
    pub const fn is_of_sale(self) -> bool {
        matches!(
            self,
            Self::Sale | Self::Postage | Self::Discount | Self::TaxOurs | Self::TaxByChannel
        )
    }
}

word_list! {
    /// How a file writes a fee in a column of fees.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    FeeSign, "a sign of fees":
    /// A fee stands above nothing.
    Plus = "plus" / "Fees stand as 1.20",
    /// A fee stands below nothing.
    Minus = "minus" / "Fees stand as -1.20",
}

/// One column of a file and its meaning.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LayoutColumn {
    /// Its header.
    pub column: String,
    /// What it means.
    pub means: ColumnMeaning,
}

/// How a kind of shop file is read. A column that stands here twice, or two columns of one meaning, are read both:
/// words are put together, amounts added up.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopLayout {
    /// What the columns mean; columns that are not here mean nothing.
    pub columns: Vec<LayoutColumn>,
    /// What the words of the rows mean, in small letters.
    #[serde(default)]
    pub rows: BTreeMap<String, RowMeaning>,
    /// The amounts that count on each row of an order; the others are the whole order's and count once.
    #[serde(default)]
    pub per_row: BTreeSet<ColumnMeaning>,
    /// In which order days are written.
    #[serde(default = "year_first")]
    pub dates: DateOrder,
    /// The decimal mark of the amounts, a point or a comma.
    #[serde(default = "point")]
    pub decimal_mark: char,
    /// How charges are written, as soon as a file has shown it.
    #[serde(default)]
    pub fees: Option<FeeSign>,
}

const fn year_first() -> DateOrder {
    DateOrder::Ymd
}

const fn point() -> char {
    '.'
}

impl Default for ShopLayout {
    fn default() -> Self {
        Self {
            columns: Vec::new(),
            rows: BTreeMap::new(),
            per_row: BTreeSet::new(),
            dates: year_first(),
            decimal_mark: point(),
            fees: None,
        }
    }
}

/// Why a layout cannot be.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LayoutError {
    /// A part of `--columns` or `--rows` that is no pair.
    #[error(
        "'{0}' does not say what means what; write it as meaning=column, as order=Order number"
    )]
    NoPair(String),
    /// A meaning that is not known.
    #[error("{0}")]
    Meaning(String),
    /// A file of this kind has no such column.
    #[error("a file of {kind} has no column of '{meaning}'")]
    NotFor {
        /// The kind of file.
        kind: FileKind,
        /// The meaning.
        meaning: ColumnMeaning,
    },
    /// Something that is needed and not pointed at.
    #[error("say which column {what}: --columns \"{meaning}=NAME\"")]
    Missing {
        /// What the column says.
        what: &'static str,
        /// The meaning.
        meaning: ColumnMeaning,
    },
    /// The file lacks a column that the layout names.
    #[error("the file has no column '{0}'")]
    NoColumn(String),
}

impl ShopLayout {
    /// The columns of a meaning.
    pub fn of(&self, meaning: ColumnMeaning) -> impl Iterator<Item = &str> {
        self.columns
            .iter()
            .filter(move |column| column.means == meaning)
            .map(|column| column.column.as_str())
    }

    /// Whether a column has this meaning.
    #[must_use]
    pub fn has(&self, meaning: ColumnMeaning) -> bool {
        self.of(meaning).next().is_some()
    }

    /// What a column means.
    #[must_use]
    pub fn meaning(&self, column: &str) -> Option<ColumnMeaning> {
        let mut columns = self.columns.iter();
        columns
            .find(|one| same(&one.column, column))
            .map(|one| one.means)
    }

    /// What the words of a row mean: those that are here, or the longest that it begins with.
    #[must_use]
    pub fn row_meaning(&self, words: &str) -> Option<RowMeaning> {
        let words = words.trim().to_lowercase();
        let begins = |known: &str| {
            words
                .strip_prefix(known)
                .is_some_and(|rest| !rest.chars().next().is_some_and(char::is_alphanumeric))
        };
        self.rows
            .iter()
            .filter(|(known, _meaning)| begins(known))
            .max_by_key(|(known, _meaning)| known.len())
            .map(|(_known, meaning)| *meaning)
    }

    /// Refuses a layout that cannot say what a file of this kind must say.
    ///
    /// # Errors
    /// The first thing that is missing or does not fit.
    pub fn check(&self, kind: FileKind) -> Result<(), LayoutError> {
        if let Some(column) = self.columns.iter().find(|one| !one.means.is_for(kind)) {
            return Err(LayoutError::NotFor {
                kind,
                meaning: column.means,
            });
        }
        let missing = |what, meaning| Err(LayoutError::Missing { what, meaning });
        if !self.has(ColumnMeaning::Date) {
            return missing("has the day", ColumnMeaning::Date);
        }
        match kind {
            FileKind::Orders if !self.has(ColumnMeaning::Order) => {
                missing("has the order's number", ColumnMeaning::Order)
            }
            FileKind::Orders
                if !self.has(ColumnMeaning::Price) && !self.has(ColumnMeaning::LinePrice) =>
            {
                missing("has the price of one", ColumnMeaning::Price)
            }
            FileKind::Payouts if !self.has(ColumnMeaning::Amount) => {
                missing("has the amount", ColumnMeaning::Amount)
            }
            _ => Ok(()),
        }
    }

    /// Refuses a file without a column that the layout names.
    ///
    /// # Errors
    /// The first such column.
    pub fn check_header(&self, header: &[String]) -> Result<(), LayoutError> {
        let lacks = |column: &&LayoutColumn| !header.iter().any(|name| same(name, &column.column));
        match self.columns.iter().find(lacks) {
            Some(column) => Err(LayoutError::NoColumn(column.column.clone())),
            None => Ok(()),
        }
    }

    /// Whether a file with this header is one of these: it has every column that the layout names, and none beside
    /// them that says something by its everyday words. A file that holds more is not read by half.
    #[must_use]
    pub fn is_of(&self, kind: FileKind, header: &[String]) -> bool {
        let is_new = |column: &LayoutColumn| {
            column.means != ColumnMeaning::Nothing
                && !self
                    .columns
                    .iter()
                    .any(|known| same(&known.column, &column.column))
        };
        self.check_header(header).is_ok() && !guess_columns(kind, header).iter().any(is_new)
    }
}

/// Whether two headers are the same but for capitals and the space around them.
pub(super) fn same(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

/// Reads `order=Order No,price=Price, each`: a comma before a part that is no `meaning=` belongs to the name before it.
///
/// # Errors
/// When a part is no pair, or its meaning is not known.
pub fn read_columns(text: &str) -> Result<Vec<LayoutColumn>, LayoutError> {
    let mut columns: Vec<LayoutColumn> = Vec::new();
    for part in text.split(',') {
        let pair = part
            .split_once('=')
            .map(|(meaning, column)| (meaning.trim().parse::<ColumnMeaning>(), column.trim()));
        match (pair, columns.last_mut()) {
            (Some((Ok(means), column)), _) if !column.is_empty() => columns.push(LayoutColumn {
                column: column.to_owned(),
                means,
            }),
            (Some((Err(error), _)), None) => return Err(LayoutError::Meaning(error)),
            (Some((Err(error), column)), Some(_)) if !column.is_empty() && !part.contains(' ') => {
                return Err(LayoutError::Meaning(error));
            }
            (_, Some(last)) if !part.trim().is_empty() => {
                last.column.push(',');
                last.column.push_str(part.trim_end());
            }
            _ => return Err(LayoutError::NoPair(part.trim().to_owned())),
        }
    }
    Ok(columns)
}

/// Reads one `Adjustment=fee-other`: the words of a row and what they mean.
///
/// # Errors
/// When it is no pair, or the meaning is not known.
pub fn read_rows(text: &str) -> Result<(String, RowMeaning), LayoutError> {
    let (words, meaning) = text
        .rsplit_once('=')
        .filter(|(words, _)| !words.trim().is_empty())
        .ok_or_else(|| LayoutError::NoPair(text.to_owned()))?;
    let meaning = meaning.trim().parse().map_err(LayoutError::Meaning)?;
    Ok((words.trim().to_lowercase(), meaning))
}

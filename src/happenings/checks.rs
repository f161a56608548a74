//! What every happening checks about its amounts, words and accounts, said the same way everywhere.
//! Checks of one happening alone stay with it.

use super::HappeningError;
use crate::ledger::{Account, AccountClass, AccountId, Chart, Role};
use crate::money::Money;

/// Refuses an amount of nothing, below nothing, or beyond what a book takes.
pub fn positive(field: &'static str, amount: Money) -> Result<(), HappeningError> {
    if !amount.is_positive() {
        return Err(HappeningError::field(
            field,
            "the amount must be more than nothing",
        ));
    }
    within_limit(field, amount)
}

/// Refuses an amount below nothing or beyond what a book takes.
pub fn not_negative(field: &'static str, amount: Money) -> Result<(), HappeningError> {
    if amount.is_negative() {
        return Err(HappeningError::field(
            field,
            "the amount cannot be below nothing",
        ));
    }
    within_limit(field, amount)
}

fn within_limit(field: &'static str, amount: Money) -> Result<(), HappeningError> {
    if amount.is_within_limit() {
        Ok(())
    } else {
        Err(HappeningError::field(field, "the amount is too large"))
    }
}

/// Refuses an empty text.
pub fn given(field: &'static str, text: &str, message: &'static str) -> Result<(), HappeningError> {
    if text.trim().is_empty() {
        Err(HappeningError::field(field, message))
    } else {
        Ok(())
    }
}

/// Refuses the same account on both sides.
pub fn different(
    field: &'static str,
    one: AccountId,
    other: AccountId,
) -> Result<(), HappeningError> {
    if one == other {
        Err(HappeningError::field(
            field,
            "the money must come from one account and go to another",
        ))
    } else {
        Ok(())
    }
}

/// An account that holds the business's own money: bank, savings, cash, or one that the owner opened beside them.
pub fn money<'a>(
    chart: &'a Chart,
    field: &'static str,
    id: AccountId,
) -> Result<&'a Account, HappeningError> {
    let account = chart.account(id)?;
    if holds_money(account) {
        return Ok(account);
    }
    Err(HappeningError::field(
        field,
        if account.is_channel() {
            format!(
                "'{}' is a sales channel, not a bank account or cash",
                account.name
            )
        } else {
            format!("'{}' is not a bank account or cash", account.name)
        },
    ))
}

/// A sales channel's account.
pub fn channel<'a>(
    chart: &'a Chart,
    field: &'static str,
    id: AccountId,
) -> Result<&'a Account, HappeningError> {
    let account = chart.account(id)?;
    if account.is_channel() {
        Ok(account)
    } else {
        Err(HappeningError::field(
            field,
            format!("'{}' is not a sales channel", account.name),
        ))
    }
}

/// An account that something can be paid with: money, a card, a bill left open, what a channel still owes, or what was
/// paid in advance for things that come only now.
pub fn pays<'a>(
    chart: &'a Chart,
    field: &'static str,
    id: AccountId,
) -> Result<&'a Account, HappeningError> {
    let account = chart.account(id)?;
    let can = holds_money(account)
        || account.is_channel()
        || is_card_or_bill(account)
        || matches!(
            account.role,
            Some(
                Role::OwedToOwner
                    | Role::OwnerCapital
                    | Role::CustomerDeposits
                    | Role::PaidInAdvance
            )
        );
    if can {
        Ok(account)
    } else {
        Err(HappeningError::field(
            field,
            format!(
                "nothing is paid with '{}'; choose a bank account, cash, a card, a bill left open, or your own pocket",
                account.name
            ),
        ))
    }
}

/// Whether money can lie there: the money group, or an asset the owner opened that the program uses for nothing else.
pub fn holds_money(account: &Account) -> bool {
    account.is_money()
        || (account.class == AccountClass::Asset
            && account.role.is_none()
            && !account.is_contra
            && !account.is_channel())
}

/// Whether it is a card or a list of bills: what is bought now and paid later.
pub fn is_card_or_bill(account: &Account) -> bool {
    account.class == AccountClass::Liability
        && matches!(
            account.role,
            None | Some(Role::CreditCard | Role::BillsToPay)
        )
}

/// Whether the cost of a thing can be booked to an account.
pub fn is_cost(account: &Account) -> bool {
    match (account.class, account.role) {
        (AccountClass::Expense, role) => role != Some(Role::Depreciation),
        (_, Some(role)) => matches!(
            role,
            Role::OwnerDrawings
                | Role::OwedByOwner
                | Role::Materials
                | Role::MadeGoods
                | Role::BoughtInGoods
                | Role::PartMade
                | Role::PackagingOnHand
                | Role::PaidInAdvance
                | Role::Equipment
                | Role::StartUpCosts
                | Role::CompanyFormingCosts
        ),
        (AccountClass::Asset, None) => {
            !account.is_contra && !account.is_money() && !account.is_channel()
        }
        _ => false,
    }
}

/// An account that the cost of a thing can be booked to.
pub fn takes_cost<'a>(
    chart: &'a Chart,
    field: &'static str,
    id: AccountId,
) -> Result<&'a Account, HappeningError> {
    let account = chart.account(id)?;
    let refused = |message: String| Err(HappeningError::field(field, message));
    match (account.class, account.role) {
        (AccountClass::Expense, Some(Role::Depreciation)) => {
            refused("wear is worked out from the list of equipment, it is not bought".to_owned())
        }
        (AccountClass::Expense, _) | (_, Some(Role::OwnerDrawings | Role::OwedByOwner)) => {
            Ok(account)
        }
        (
            AccountClass::Asset,
            Some(
                Role::Materials
                | Role::MadeGoods
                | Role::BoughtInGoods
                | Role::PartMade
                | Role::PackagingOnHand
                | Role::PaidInAdvance
                | Role::Equipment
                | Role::StartUpCosts
                | Role::CompanyFormingCosts,
            ),
        ) => Ok(account),
        (AccountClass::Asset, None)
            if !account.is_contra && !account.is_money() && !account.is_channel() =>
        {
            Ok(account)
        }
        (AccountClass::Asset, _) if account.is_money() || account.is_channel() => refused(format!(
            "'{}' holds money; moving money is not a purchase",
            account.name
        )),
        (AccountClass::Liability, _) => refused(format!(
            "'{}' is something owed; paying it off is not a purchase",
            account.name
        )),
        (AccountClass::Income, _) => refused(format!(
            "'{}' is income; a purchase needs a cost or something the business keeps",
            account.name
        )),
        _ => refused(format!("a purchase cannot go to '{}'", account.name)),
    }
}

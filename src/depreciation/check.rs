//! What a piece of equipment must satisfy before the register takes it.
//! The rules only; the register itself is kept by the book.

use chrono::NaiveDate;

use super::{Condition, Convention, Disposal, Equipment, EquipmentError, TermsChange};
use crate::dates::show_day;
use crate::money::{Money, Percent};

/// The longest life accepted, in months: a hundred years.
pub const LONGEST_LIFE_MONTHS: u32 = 1200;

impl Equipment {
    /// A new piece, bought and put in service on one day, used for the business alone, worth nothing at the end.
    /// Set the other fields, then [`Equipment::check`] it.
    #[must_use]
    pub fn new(
        name: impl Into<String>,
        in_service_on: NaiveDate,
        cost: Money,
        life_months: u32,
    ) -> Self {
        let name = name.into();
        Self {
            key: name.clone(),
            name,
            supplier: String::new(),
            bought_on: in_service_on,
            in_service_on,
            cost,
            tax_part: Money::ZERO,
            delivery_part: Money::ZERO,
            residual: Money::ZERO,
            life_months,
            business_share: Percent::WHOLE,
            convention: Convention::default(),
            condition: Condition::default(),
            serial: String::new(),
            location: String::new(),
            purchase_entry: None,
            charged_before: Money::ZERO,
            changes: Vec::new(),
            disposal: None,
        }
    }

    /// Refuses what cannot be in the register.
    ///
    /// # Errors
    /// When a field, a changed term or the disposal holds what cannot be; the first fault is named.
    pub fn check(&self) -> Result<(), EquipmentError> {
        if self.key.trim().is_empty() || self.name.trim().is_empty() {
            return Err(fault("name", "equipment needs a name"));
        }
        if !self.cost.is_positive() || !self.cost.is_within_limit() {
            return Err(fault(
                "cost",
                format!("the cost of {} must be above nothing", self.name),
            ));
        }
        if self.tax_part.is_negative()
            || self.delivery_part.is_negative()
            || self.tax_part + self.delivery_part > self.cost
        {
            let message = "tax and delivery are parts of the cost and cannot be more than it";
            return Err(fault("cost", message));
        }
        check_life(self.life_months)?;
        check_residual(self.residual, self.cost)?;
        if self.in_service_on < self.bought_on {
            let message = format!(
                "in service on {}, before it was bought on {}",
                show_day(self.in_service_on),
                show_day(self.bought_on)
            );
            return Err(fault("in_service_on", message));
        }
        if self.charged_before.is_negative() || self.charged_before > self.cost {
            let message = "what was charged before is between nothing and the cost";
            return Err(fault("charged_before", message));
        }
        let mut earlier: Option<&TermsChange> = None;
        for change in &self.changes {
            self.check_change(change, earlier)?;
            earlier = Some(change);
        }
        self.disposal
            .as_ref()
            .map_or(Ok(()), |disposal| self.check_disposal(disposal))
    }

    /// Whether these terms can follow the ones the equipment has.
    ///
    /// # Errors
    /// When the life or the residual value cannot be, or an earlier change already holds on that day or later.
    pub fn check_new_terms(&self, change: &TermsChange) -> Result<(), EquipmentError> {
        self.check_change(change, self.changes.last())
    }

    /// Whether the equipment can go on that day.
    ///
    /// # Errors
    /// When it goes before it was bought, before its last change of terms, or the proceeds are below nothing.
    pub fn check_disposal(&self, disposal: &Disposal) -> Result<(), EquipmentError> {
        if disposal.on < self.bought_on {
            let message = format!(
                "gone on {}, before it was bought on {}",
                show_day(disposal.on),
                show_day(self.bought_on)
            );
            return Err(fault("disposed_on", message));
        }
        if let Some(change) = self
            .changes
            .last()
            .filter(|change| change.from > disposal.on)
        {
            let message = format!(
                "gone on {}, before its terms changed on {}",
                show_day(disposal.on),
                show_day(change.from)
            );
            return Err(fault("disposed_on", message));
        }
        if disposal.proceeds.is_negative() || !disposal.proceeds.is_within_limit() {
            let message = "what was received for it cannot be below nothing";
            return Err(fault("proceeds", message));
        }
        Ok(())
    }

    fn check_change(
        &self,
        change: &TermsChange,
        earlier: Option<&TermsChange>,
    ) -> Result<(), EquipmentError> {
        check_life(change.life_months)?;
        check_residual(change.residual, self.cost)?;
        if change.from < self.bought_on {
            let message = format!(
                "the terms cannot change before it was bought on {}",
                show_day(self.bought_on)
            );
            return Err(fault("from", message));
        }
        if let Some(earlier) = earlier.filter(|earlier| earlier.from >= change.from) {
            let message = format!(
                "the terms already change on {}; a further change must come later",
                show_day(earlier.from)
            );
            return Err(fault("from", message));
        }
        Ok(())
    }
}

fn fault(field: &'static str, message: impl Into<String>) -> EquipmentError {
    EquipmentError::field(field, message)
}

fn check_life(life_months: u32) -> Result<(), EquipmentError> {
    if life_months == 0 {
        let message = "the life must be at least one month";
        return Err(EquipmentError::field("life_months", message));
    }
    if life_months > LONGEST_LIFE_MONTHS {
        let message = format!("a life of {life_months} months is longer than a hundred years");
        return Err(EquipmentError::field("life_months", message));
    }
    Ok(())
}

fn check_residual(residual: Money, cost: Money) -> Result<(), EquipmentError> {
    if residual.is_negative() {
        let message = "the residual value cannot be below nothing";
        return Err(EquipmentError::field("residual", message));
    }
    if residual > cost {
        let message = "the residual value cannot be more than the cost";
        return Err(EquipmentError::field("residual", message));
    }
    Ok(())
}

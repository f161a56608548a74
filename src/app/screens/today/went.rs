//! How the months went and where the money went, as Today says it.
//! The rest of what it says is in `model`.

use super::model::{MonthBar, Stretch};
use crate::app::screens::explain::{ProfitFigure, Source};
use crate::app::screens::facts::Facts;
use crate::dates::DateRange;
use crate::ledger::AccountClass;
use crate::money::Money;

/// The months that have begun; later ones would be empty bars.
pub(super) fn months(facts: &Facts) -> Vec<MonthBar> {
    let until = facts
        .covered
        .map_or(facts.today, |covered| covered.to.max(facts.today));
    facts
        .months
        .iter()
        .filter(|(month, _statement)| month.first_day() <= until)
        .map(|(month, statement)| MonthBar {
            month: *month,
            profit: statement.totals.net_profit,
            range: DateRange {
                from: statement.range.from,
                to: statement.range.to,
            },
        })
        .collect()
}

/// What the months show, in a sentence.
pub(super) fn months_sentence(months: &[MonthBar]) -> String {
    let moved: Vec<&MonthBar> = months.iter().filter(|bar| !bar.profit.is_zero()).collect();
    let Some(best) = moved.iter().max_by_key(|bar| bar.profit) else {
        return "Nothing was earned or spent in this time.".to_owned();
    };
    let best = best.month.name();
    let n_losses = moved.iter().filter(|bar| bar.profit.is_negative()).count();
    let last_loss = moved.iter().rposition(|bar| bar.profit.is_negative());
    match (n_losses, last_loss) {
        (0, _) => format!("Every month ended ahead; {best} was the best."),
        (n, _) if n == moved.len() => {
            "Every month so far ended behind, as starting often does.".to_owned()
        }
        (n, Some(last)) if last + 1 == n => {
            let first_gain = moved.get(n).map_or("", |bar| bar.month.name());
            format!("You lost a little while setting up, and have earned since {first_gain}.")
        }
        (1, _) => format!("1 month ended behind; {best} was the best."),
        (n, _) => format!("{n} months ended behind; {best} was the best."),
    }
}

/// Costs by group, the largest first; what is too small to see goes together.
pub(super) fn costs(facts: &Facts) -> (Vec<Stretch>, Money) {
    let mut groups: Vec<(String, Money)> = Vec::new();
    for line in &facts.profit.lines {
        let is_cost = facts
            .chart
            .account(line.account)
            .is_ok_and(|account| account.class == AccountClass::Expense);
        if !is_cost {
            continue;
        }
        match groups.iter_mut().find(|(group, _sum)| *group == line.group) {
            Some((_group, sum)) => *sum += line.amount,
            None => groups.push((line.group.clone(), line.amount)),
        }
    }
    groups.retain(|(_group, amount)| amount.is_positive());
    groups.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    let total = groups.iter().map(|(_group, amount)| *amount).sum();
    let mut stretches: Vec<Stretch> = groups
        .iter()
        .take(4)
        .map(|(group, amount)| Stretch {
            label: group.clone(),
            amount: *amount,
            source: Source::Group(group.clone(), facts.period),
            is_rest: false,
        })
        .collect();
    let rest: Money = groups.iter().skip(4).map(|(_group, amount)| *amount).sum();
    if rest.is_positive() {
        stretches.push(Stretch {
            label: "Other".to_owned(),
            amount: rest,
            source: Source::Profit(ProfitFigure::Costs, facts.period),
            is_rest: true,
        });
    }
    (stretches, total)
}

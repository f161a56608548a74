//! What can be shown, by the words of the command line.
//! What each of them prints is `show`'s business.

use clap::ValueEnum;

/// What can be shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum What {
    /// The profit statement
    Profit,
    /// A year by the lines of a tax form, as a sorting aid; --form for another one
    FormLines,
    /// What all money did, month by month: in and out by kind
    MoneyByMonth,
    /// Suppliers by what they were paid, and how
    Suppliers,
    /// Equipment that came and went: cost and wear at both ends
    EquipmentMoved,
    /// The balance sheet
    Balance,
    /// The trial balance
    Trial,
    /// One account, line by line
    Ledger,
    /// Entries with their lines
    Journal,
    /// The equipment register with schedules
    Equipment,
    /// The owner's capital
    Capital,
    /// Sales channels, from gross sales to payouts
    Channels,
    /// The set-aside estimate
    SetAside,
    /// The days instalments of tax are due; with --calendar also as a calendar file
    DueDates,
    /// The published rates there are, with their sources, and what each method asks
    Rates,
    /// What is free to spend
    FreeToSpend,
    /// What wants doing
    Needs,
    /// A month that is over, with what of it is still open; the last one, or that of --month
    Month,
    /// The settings
    Settings,
    /// The chart of accounts
    Accounts,
    /// Recurring purchases
    Recurring,
    /// Small equipment that was a cost at once
    SmallEquipment,
    /// Until when the records of each year, and the papers of each piece of equipment, are kept
    KeepUntil,
    /// What is there, for an insurer or a county, on 1 January or the day of --as-of
    ThingsList,
    /// What it cost to start
    CostToStart,
    /// What lies in stock; with a period also what came and went
    Stock,
    /// A sheet for counting the stock, as CSV
    CountSheet,
    /// Sets sold under one name: how many can be sold, what their parts cost
    Bundles,
    /// What the goods sold cost, from stock at the beginning to stock at the end
    #[value(alias = "cogs")]
    CostOfGoodsSold,
    /// The start-up plan
    Plan,
    /// Orders to suppliers, with what came of them; one of them with --order
    Orders,
    /// What an item costs and what is kept of its price
    CostCard,
    /// Whether to make an item or have it made
    MakeOrBuy,
    /// What each product left
    Products,
    /// Whether a piece of equipment has paid for itself
    Payback,
    /// Comparisons of making and having made that are kept
    Comparisons,
    /// How far catching up is: its steps, what is done and open, and which comes next
    CatchingUp,
    /// Entries from rough answers that are to be said more exactly
    Rough,
    /// Entries that nobody can explain yet, by name
    NotExplained,
    /// What still stands in the books of a business that closes down, and how each line is cleared
    ClosingDown,
    /// What goes on: vouchers, deposits, invoices, pieces on commission, disputes, claims; one kind with --of
    Matters,
    /// Fair days with what each earned
    Fairs,
    /// What helpers were paid in a calendar year, by way of payment
    Helpers,
    /// Gifts of a calendar year by person, at cost
    Gifts,
    /// Loans with the plans of their instalments
    Loans,
    /// An account's statement lines and what became of them
    Bank,
    /// Statement lines to be sorted, with what is suggested and why
    Tray,
    /// Accounts against their statements; the sheets of one with --account
    Reconciliation,
    /// Questions for the accountant, with their answers and what was done about them
    Questions,
    /// Duties with their days, what was done about them, and the tax dates; with --calendar also as a calendar file
    Duties,
    /// The owner's hours, and what an hour left by month and by product
    Hours,
    /// The adjusting entries of a year: proposed and posted
    Adjusting,
    /// Trips for the business and what they come to; a year with --year
    Mileage,
    /// The workspace at home, by both methods; a year with --year
    Workspace,
    /// Bills and things used privately too: the business's share, what it rests on, and since when
    SharedBills,
    /// Papers of the company, and the decisions with their reasons
    Papers,
    /// What the book itself shows of how the business is kept: facts, no judgement
    HowKept,
}

//! The pure core against published examples and against itself.

mod accounting_cycle;
mod deciding_cost_card;
mod deciding_make_or_buy;
mod deciding_payback;
mod deciding_price;
mod deciding_properties;
mod depreciation;
mod depreciation_properties;
mod goods_sold;
mod happenings;
mod happenings_owner;
mod happenings_properties;
mod happenings_selling;
mod hints;
mod kinds;
mod ordering;
mod plan;
mod recurring;
mod sample_records;
mod set_aside;
mod sorting;
mod spreading;
mod statements;
mod stock_costing;
mod support;
mod whole_story;

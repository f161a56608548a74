//! A notebook that is made and sold, as sheets: what the tests of deciding work their figures from.

use crate::desk::Desk;

/// The day on which everything is asked.
pub const DAY: &str = "2026-09-28";

const ITEMS: &str = "code,name,kind,unit,price\n\
    PAPER,Text paper,material,sheet,\n\
    BOARD,Grey board,material,sheet,\n\
    THREAD,Linen thread,material,skein,\n\
    NOTEBOOK,A5 notebook,made,piece,14.00\n\
    POUCH,Thread pouch,made,piece,9.00\n\
    FOLIO,Folio,made,piece,30.00\n\
    CARD,Printed card,bought-in,piece,\n";

const RECIPES: &str = "item,batch_quantity,input,input_quantity,own_minutes,normal_waste,outside\n\
    NOTEBOOK,20,PAPER,100,90,5,2.00\n\
    NOTEBOOK,,BOARD,10,,,\n\
    POUCH,10,THREAD,2,,,\n\
    POUCH,,PAPER,10,,,\n";

/// 500 sheets at 0.02 and 500 at 0.03 are 0.025 on average; a board is 0.50.
const PURCHASES: &str = "purchase,date,supplier,paid_from,amount,item,quantity\n\
    R1,2026-07-05,Alderwick Paper Merchants,owner,10.00,PAPER,500\n\
    R1,2026-07-05,Alderwick Paper Merchants,owner,10.00,BOARD,20\n\
    R2,2026-08-05,Alderwick Paper Merchants,owner,15.00,PAPER,500\n";

/// Forty pieces of 200 sheets (5.00), all 20 boards (10.00) and 4.00 of outside work: 19.00, 0.475 each.
const MOVEMENTS: &str = "date,item,kind,quantity,total_cost,paid_from,batch\n\
    2026-09-10,PAPER,use,200,,,B1\n\
    2026-09-10,BOARD,use,20,,,B1\n\
    2026-09-10,NOTEBOOK,make,40,4.00,owner,B1\n";

/// The shop keeps 4.20 of 42.00, ten per cent.
const SALES: &str = "sale,date,paid_into,amount,item,quantity,fee_commission,fee_processing\n\
    S1,2026-09-20,Lanternpost Shop,42.00,NOTEBOOK,3,3.00,1.20\n";

/// 10.00 a month: 20.00 in July and August, 0.50 on each of the forty pieces.
const EQUIPMENT: &str = "name,bought_on,in_service_on,cost,life_months,paid_from\n\
    Book press,2026-07-01,2026-07-01,240.00,24,owner\n";

/// A folder with that book.
pub fn workshop() -> Desk {
    let desk = Desk::new();
    desk.bring("items", ITEMS);
    desk.bring("recipes", RECIPES);
    desk.bring("purchases", PURCHASES);
    desk.bring("equipment", EQUIPMENT);
    desk.bring("movements", MOVEMENTS);
    desk.bring("sales", SALES);
    desk
}

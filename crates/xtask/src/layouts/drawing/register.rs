//! A list of machines, which explains the serial numbers of the readings.

use super::Desk;
use crate::layouts::page::{Cell, Page};
use windrow_dice::Dice;

/// Draws the list.
pub(super) fn draw(desk: &Desk<'_>, dice: &mut Dice) -> Page {
    let (study, habits) = (desk.study, desk.habits);
    let mut page =
        Page { name: dice.pick(&["Motors", "Nameplates", "List", "Register"]).to_owned(), ..Page::default() };
    let mut columns = ["machine", "serial", "description", "power", "rated", "made"];
    dice.shuffle(&mut columns);
    let top = dice.between(0, 1) * 2;
    if top > 0 {
        page.put((0, 0), Cell::line(&study.site));
    }
    for (thing, column) in columns.iter().zip(0..) {
        page.put((top, column), Cell::text(habits.word(thing)));
    }
    for (machine, row) in study.machines.iter().zip(top + 1..) {
        let whole = |number: u32| Cell::number(f64::from(number), number.to_string());
        for (thing, column) in columns.iter().zip(0..) {
            let cell = match *thing {
                "machine" => Cell::text(&machine.tag),
                "serial" => Cell::text(&machine.serial),
                "description" => Cell::text(dice.pick(habits.words.list("names"))),
                "power" => whole(dice.pick(&[11, 45, 90, 160, 315, 630])),
                "rated" => whole(dice.pick(&[400, 690, 3300, 6600])),
                _ => whole(dice.between(1955, 1978)),
            };
            page.put((row, column), cell);
        }
    }
    page
}

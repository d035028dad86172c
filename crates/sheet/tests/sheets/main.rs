//! Sheets as people write them, through the whole engine.

mod bench_cards;
mod cards;
mod company;
mod contractors;
mod declared;
mod doubts;
mod every_cell;
mod exports;
mod families;
mod forms;
mod grid;
mod groups;
mod hands;
mod layouts;
mod legends;
mod names;
mod places;
mod repeats;
mod rulings;
mod scales;
mod shops;
mod stations;
mod swaps;
mod telling;
mod witnesses;
mod words;

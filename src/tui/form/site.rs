//! Setting up: places by kind with one key each, benches, and seed.

use crate::desk::Board;
use crate::grammar::Request;
use crate::journal::PlaceKind;
use crate::quantity::{Millimetres, Name};
use crate::tui::model::{Choose, Menu};

use super::Form;
use super::acts::forecast;
use super::field::{Asked, Choice, Field, Free};
use super::lists::{open_room, size_word};

/// What there is to add.
#[must_use]
pub fn add_menu(board: &Board) -> Menu {
    let mut items = vec![
        ('p', "a place where plants stand".to_owned(), Choose::Menu(places_menu(board))),
        ('s', "seed: a packet".to_owned(), Choose::Form(Box::new(seed(board)))),
        ('t', "a tray of young plants, bought or given".to_owned(), Choose::Form(Box::new(receive(board)))),
    ];
    if !board.state.places.is_empty() {
        items.insert(1, ('b', "a bench, shelf or frame in a place".to_owned(), Choose::Form(Box::new(bench(board)))));
    }
    Menu { title: "add".to_owned(), items }
}

/// Where a forecast comes from: the grower's own hand, or the weather service.
#[must_use]
pub fn forecast_menu(board: &Board) -> Menu {
    let items = vec![
        ('t', "type a night's lowest and a day's highest".to_owned(), Choose::Form(Box::new(forecast(board)))),
        ('f', "fetch it from the weather service of settings.toml".to_owned(), Choose::Fetch),
    ];
    Menu { title: "forecast".to_owned(), items }
}

/// Places by kind, one key each; the name is the kind's until the grower has two of them.
#[must_use]
pub fn places_menu(board: &Board) -> Menu {
    let keys = ['p', 'a', 'f', 'l', 'w', 'r', 'g', 't', 'c', 'h', 's', 'o'];
    let items = PlaceKind::ALL.iter().zip(keys).filter_map(|(kind, key)| {
        let name = free_name(board, *kind)?;
        let shown = if name.as_str() == kind.word() { said_of(*kind).to_owned() } else { format!("as \"{name}\"") };
        let words = format!("{kind}: {shown}");
        let request = Request::AddPlace { name, kind: *kind, heated_to: None, light: None };
        Some((key, words, Choose::Perform(Box::new(request))))
    });
    Menu { title: "add a place".to_owned(), items: items.collect() }
}

const fn said_of(kind: PlaceKind) -> &'static str {
    match kind {
        PlaceKind::Propagator => "warms the compost from below",
        PlaceKind::AiringCupboard => "warm and dark",
        PlaceKind::Fridge => "for chilling seed",
        PlaceKind::LitShelf => "under lamps",
        PlaceKind::Windowsill => "light from one side",
        PlaceKind::Room => "indoors, away from the window",
        PlaceKind::Greenhouse => "glass to stand in",
        PlaceKind::Tunnel => "polythene to stand in",
        PlaceKind::ColdFrame => "a low box with a glass lid",
        PlaceKind::Cloche => "a cover over plants in the ground",
        PlaceKind::StandingGround => "sheltered ground for pots",
        PlaceKind::Plot => "open ground, where they end",
    }
}

fn free_name(board: &Board, kind: PlaceKind) -> Option<Name> {
    let taken = |text: &str| board.state.places.values().any(|place| place.name.same_as(text));
    let plain = kind.word().to_owned();
    let numbered = (2..100).map(|number| format!("{plain} {number}"));
    std::iter::once(plain.clone()).chain(numbered).find(|text| !taken(text)).and_then(|text| Name::of_place(&text).ok())
}

/// A bench, with the size such a bench often has. Common practice, no source.
fn bench(board: &Board) -> Form {
    let usual = |kind: PlaceKind| match kind {
        PlaceKind::Propagator | PlaceKind::AiringCupboard | PlaceKind::Fridge => ("mat", 800, 480),
        PlaceKind::Windowsill => ("sill", 900, 200),
        PlaceKind::ColdFrame | PlaceKind::Cloche => ("frame", 1200, 600),
        PlaceKind::LitShelf | PlaceKind::Room => ("shelf", 900, 400),
        _ => ("bench", 1500, 500),
    };
    let mut places: Vec<_> = board.state.places.iter().collect();
    places.sort_by_key(|(id, _)| board.state.benches.values().filter(|bench| bench.place == **id).count());
    let choices = places.iter().flat_map(|(id, place)| {
        let (name, length, width) = usual(place.kind);
        let many = board.state.benches.values().filter(|bench| bench.place == **id).count();
        let name = if many == 0 { name.to_owned() } else { format!("{name} {}", many + 1) };
        let size = size_word(Millimetres(length), Millimetres(width));
        let shown = format!("{}/{name}", place.name);
        Some(Choice { words: vec![shown.clone()], shown, beside: format!("often {size}") })
    });
    Form {
        title: "add a bench".to_owned(),
        about: "measure length along the back, then back to front".to_owned(),
        head: vec!["bench".to_owned(), "add".to_owned()],
        fields: vec![
            Field::one_of("bench", choices.collect())
                .or_else(Free::As(|text| vec![text.to_owned()]))
                .hint("one of these, or another as place/name"),
            Field::text("size", "", |text| vec![format!("--size={text}")]).hint("as 1200x500mm, 1.2x0.5m or 48x20in"),
            Field::text("headroom", "", |text| vec![format!("--headroom={text}")])
                .asked(Asked::Never)
                .hint("if there is a limit: 300mm, or 400..250mm under sloping glass"),
        ],
        focus: 0,
        trouble: None,
        taken_from: None,
    }
}

fn crop_field(board: &Board) -> Field {
    let choice = |crop: &String| Choice { shown: crop.clone(), beside: String::new(), words: vec![crop.clone()] };
    Field::one_of("crop", board.crops.iter().map(choice).collect()).hint("type the beginning of its name")
}

fn variety_field() -> Field {
    Field::text("variety", "", |text| vec![text.to_owned()])
}

fn seed(board: &Board) -> Form {
    let option = |label, hint: &str, compose| Field::text(label, "", compose).asked(Asked::Never).hint(hint);
    Form {
        title: "add seed".to_owned(),
        about: "what the packet says; all but crop and variety may stay empty".to_owned(),
        head: vec!["lot".to_owned(), "add".to_owned()],
        fields: vec![
            crop_field(board),
            variety_field(),
            option("packed", "year, as 2025", |text| vec![format!("--packed={text}")]),
            option("stated", "germination, as 85%", |text| vec![format!("--stated={text}")]),
            option("seeds", "how many came", |text| vec![format!("--seeds={text}")]),
        ],
        focus: 0,
        trouble: None,
        taken_from: None,
    }
}

fn receive(board: &Board) -> Form {
    let last = open_room(board);
    let mut fields = vec![
        crop_field(board),
        variety_field(),
        Field::number("plants", None, |text| vec![format!("--plants={text}")]),
    ];
    fields.extend(last);
    Form {
        title: "take in young plants".to_owned(),
        about: "they get a number of their own".to_owned(),
        head: vec!["receive".to_owned()],
        fields,
        focus: 0,
        trouble: None,
        taken_from: None,
    }
}

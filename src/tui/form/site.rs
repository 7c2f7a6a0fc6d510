//! Setting up: places by kind with one key each, benches, and seed.

use crate::desk::{Board, CAN_FETCH};
use crate::journal::PlaceKind;
use crate::quantity::{Millimetres, parse_rectangle};
use crate::tui::model::{Choose, Menu};

use super::acts::forecast;
use super::field::{Asked, Choice, Field, Free};
use super::lists::{open_room, size_word};
use super::{Form, PLANTS};

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
    Menu::new("add", items)
}

/// Where a forecast comes from: the grower's own hand, or the weather service.
#[must_use]
pub fn forecast_menu(board: &Board) -> Menu {
    let form = Choose::Form(Box::new(forecast(board)));
    let mut items = vec![('t', "type a night's lowest and a day's highest".to_owned(), form)];
    if CAN_FETCH {
        items.push(('f', "fetch it from the weather service of settings.toml".to_owned(), Choose::Fetch));
    }
    Menu::new("forecast", items)
}

/// Places by kind, one key each.
#[must_use]
pub fn places_menu(board: &Board) -> Menu {
    let keys = ['p', 'a', 'f', 'l', 'w', 'r', 'g', 't', 'c', 'h', 's', 'o'];
    let items = PlaceKind::ALL
        .iter()
        .zip(keys)
        .map(|(kind, key)| (key, format!("{kind}: {}", said_of(*kind)), Choose::Form(Box::new(place(board, *kind)))));
    Menu::new("add a place", items.collect())
}

/// A place of a kind: by the kind's own name, until the grower has two of them or calls it otherwise.
fn place(board: &Board, kind: PlaceKind) -> Form {
    let taken = |text: &str| board.state.places.values().any(|place| place.name.same_as(text));
    // One word, so that it needs no quotes on a line: frame, shelf.
    let word = kind.word().split(' ').next_back().unwrap_or_default();
    let numbered = (2..100).map(|number| format!("{word}{number}"));
    let name = std::iter::once(word.to_owned()).chain(numbered).find(|text| !taken(text)).unwrap_or_default();
    let mut fields = vec![
        Field::text("name", &name, |text| vec![text.to_owned()])
            .asked(Asked::Needed)
            .hint("what you call it: Enter takes this, or type another"),
    ];
    if may_have_a_thermostat(kind) {
        let heated = Field::number("heated to", None, |text| vec![format!("--heated-to={text}")]).with(".CF");
        fields.push(heated.asked(Asked::Never).hint("if a thermostat holds it: 20, or 68F"));
    }
    let title = format!("add a place: {kind}");
    Form::new(&title, said_of(kind), &["place", "add", &format!("--kind={kind}")], fields)
}

const fn may_have_a_thermostat(kind: PlaceKind) -> bool {
    matches!(kind, PlaceKind::Propagator | PlaceKind::LitShelf | PlaceKind::Room | PlaceKind::Greenhouse)
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

/// A bench, with the size such a bench often has. Common practice, no source.
fn bench(board: &Board) -> Form {
    let usual = |kind: PlaceKind| match kind {
        PlaceKind::Propagator | PlaceKind::AiringCupboard | PlaceKind::Fridge => ("mat", 800, 480),
        PlaceKind::Windowsill => ("sill", 900, 200),
        PlaceKind::ColdFrame | PlaceKind::Cloche => ("floor", 1200, 600),
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
        let choice = Choice::new(shown.clone(), format!("often {size}"), vec![shown]);
        // Under sloping glass what stands there is soon too tall.
        let asks = matches!(place.kind, PlaceKind::ColdFrame | PlaceKind::Cloche).then_some("headroom");
        Some(Choice { brings: Some(("size", size)), asks, ..choice })
    });
    let fields = vec![
        Field::one_of("bench", choices.collect())
            .or_else(Free::Bench(board.state.places.values().map(|place| place.name.to_string()).collect()))
            .hint("one of these, or another as place/name"),
        Field::text("size", "", |text| vec![format!("--size={text}")])
            .asked(Asked::Needed)
            .whole_when(|text| parse_rectangle(text).is_ok())
            .hint("along the back, then back to front: 1200x500mm, 1.2x0.5m, 48x20in"),
        Field::text("headroom", "", |text| vec![format!("--headroom={text}")])
            .asked(Asked::Never)
            .hint("if there is a limit: 300mm; under sloping glass at the back, then at the front: 400..250mm"),
    ];
    Form::new("add a bench", "measure the inside, where trays stand", &["bench", "add"], fields)
}

fn crop_field(board: &Board) -> Field {
    let choice = |crop: &String| Choice::new(crop.clone(), "", vec![crop.clone()]);
    Field::one_of("crop", board.crops.iter().map(choice).collect()).hint("type the beginning of its name")
}

fn variety_field() -> Field {
    Field::text("variety", "", |text| vec![text.to_owned()]).asked(Asked::Needed)
}

fn seed(board: &Board) -> Form {
    let option = |label, hint: &str, compose| Field::text(label, "", compose).asked(Asked::Never).hint(hint);
    let fields = vec![
        crop_field(board),
        variety_field(),
        option("packed", "year, as 2025", |text| vec![format!("--packed={text}")]),
        option("stated", "germination, as 85%", |text| vec![format!("--stated={text}")]),
        option("seeds", "how many came", |text| vec![format!("--seeds={text}")]),
    ];
    let about = "what the packet says; all but crop and variety may stay empty";
    Form::new("add seed", about, &["lot", "add"], fields)
}

fn receive(board: &Board) -> Form {
    let last = open_room(board);
    let mut fields = vec![
        crop_field(board),
        variety_field(),
        Field::number(PLANTS, None, |text| vec![format!("--plants={text}")]).asked(Asked::Needed),
    ];
    fields.extend(last);
    Form::new("take in young plants", "they get a number of their own", &["receive"], fields).dated()
}

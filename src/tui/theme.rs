//! How things look: the one place that names colours, and where the look is settled when the screen opens.
//!
//! Screens ask for a [`Role`] by what it means. No meaning rests on colour alone: wherever a role warns,
//! its style differs without colour too, and a mark from [`Glyphs`] stands beside it.

use ratatui::style::{Color, Modifier, Style};

use super::glyphs::{Characters, Glyphs};

/// What a piece of the screen is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Ordinary text, and the ground of the whole screen: fill each frame with it first.
    Text,
    /// What may be read last: units, dates, explanations.
    Quiet,
    /// The line that says where one is.
    Banner,
    /// The name of a part of the screen.
    Heading,
    /// The name of a column.
    Column,
    /// Lines between things.
    Rule,
    /// A key that does something here.
    Key,
    /// What is being typed.
    Field,
    /// The row or cell the next key acts on.
    Selected,
    /// As it should be.
    Good,
    /// Look at it today.
    Watch,
    /// Harm is near or done.
    Alarm,
}

/// How bright it is where the screen stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Light {
    /// Indoors.
    Ordinary,
    /// Full sun: black on white, and weight instead of hue; nothing is dimmed.
    Bright,
}

impl Light {
    /// The other of the two.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Ordinary => Self::Bright,
            Self::Bright => Self::Ordinary,
        }
    }
}

/// Whether colours may be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ink {
    Colours,
    Single,
}

/// The theme and the glyphs, settled once when the screen opens.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    /// The styles.
    pub theme: Theme,
    /// The signs.
    pub glyphs: Glyphs,
}

impl Look {
    /// Settles the look.
    ///
    /// `no_color` is whether the variable NO_COLOR is set and not empty (no-color.org), `term` the variable TERM or
    /// empty. Without a wish for `characters` the kernel's own console (`linux`), whose font lacks most signs, and a
    /// `dumb` or unnamed terminal get ASCII; the last two get no colours either. The light is ordinary.
    #[must_use]
    pub fn from_environment(no_color: bool, term: &str, characters: Option<Characters>) -> Self {
        let bare = matches!(term, "" | "dumb");
        let ink = if no_color || bare { Ink::Single } else { Ink::Colours };
        let fitting = if bare || term == "linux" { Characters::Ascii } else { Characters::Unicode };
        Self { theme: Theme { light: Light::Ordinary, ink }, glyphs: Glyphs::of(characters.unwrap_or(fitting)) }
    }

    /// The same look in another light.
    #[must_use]
    pub const fn in_light(self, light: Light) -> Self {
        Self { theme: Theme { light, ink: self.theme.ink }, glyphs: self.glyphs }
    }
}

/// The style of every role.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Theme {
    light: Light,
    ink: Ink,
}

impl Theme {
    /// How a role is drawn. All but [`Role::Text`] leave what they do not name as it is beneath them.
    #[must_use]
    pub fn style(self, role: Role) -> Style {
        let style = Style::new().add_modifier(self.weight(role));
        if self.ink == Ink::Single {
            return style;
        }
        match (self.light, role) {
            (Light::Bright, Role::Text) => style.fg(Color::Black).bg(Color::White),
            (Light::Ordinary, Role::Banner) => Style::new().fg(Color::Black).bg(Color::Green),
            (Light::Ordinary, Role::Alarm) => Style::new().fg(Color::White).bg(Color::Red).add_modifier(Modifier::BOLD),
            _ => style,
        }
    }

    fn weight(self, role: Role) -> Modifier {
        match role {
            Role::Text | Role::Good => Modifier::empty(),
            Role::Quiet | Role::Rule if self.light == Light::Ordinary => Modifier::DIM,
            Role::Quiet | Role::Rule => Modifier::empty(),
            Role::Heading | Role::Key => Modifier::BOLD,
            Role::Column => Modifier::UNDERLINED,
            Role::Field => Modifier::BOLD.union(Modifier::UNDERLINED),
            Role::Selected | Role::Banner => Modifier::REVERSED,
            Role::Watch => Modifier::BOLD,
            Role::Alarm => Modifier::BOLD.union(Modifier::REVERSED),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROLES: [Role; 12] = [
        Role::Text,
        Role::Quiet,
        Role::Banner,
        Role::Heading,
        Role::Column,
        Role::Rule,
        Role::Key,
        Role::Field,
        Role::Selected,
        Role::Good,
        Role::Watch,
        Role::Alarm,
    ];

    fn theme(no_color: bool, light: Light) -> Theme {
        Look::from_environment(no_color, "xterm-256color", None).in_light(light).theme
    }

    /// Red, green, blue of the sixteen as xterm ships them (XTerm-col.ad, from memory).
    fn shade(color: Color) -> [u8; 3] {
        match color {
            Color::Black => [0, 0, 0],
            Color::Red => [0xcd, 0, 0],
            Color::Green => [0, 0xcd, 0],
            Color::White => [0xff, 0xff, 0xff],
            other => panic!("{other} is not looked up yet: add its shade"),
        }
    }

    /// Contrast ratio, Web Content Accessibility Guidelines 2.1 (W3C, 2018), with its relative luminance.
    fn contrast(one: [u8; 3], other: [u8; 3]) -> f64 {
        let light = |[r, g, b]: [u8; 3]| {
            let linear = |part: u8| {
                let part = f64::from(part) / 255.0;
                if part <= 0.03928 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b) + 0.05
        };
        let (one, other) = (light(one), light(other));
        one.max(other) / one.min(other)
    }

    #[test]
    fn the_yardstick_is_right() {
        // The guidelines' own ends of the scale, and grey #767676, the darkest pass at 4.5 on white.
        assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
        assert!((contrast([0x76; 3], [255; 3]) - 4.54).abs() < 0.01);
    }

    /// Guideline 1.4.3 asks for 4.5; where the ground is the terminal's own, both ends are tried. None of the sixteen passes on
    /// black and on white alike, so only what has its own ground is coloured.
    #[test]
    fn every_colour_can_be_read_on_dark_and_on_light() {
        for role in ROLES {
            let style = theme(false, Light::Ordinary).style(role);
            let grounds = style.bg.map_or(vec![[0; 3], [255; 3]], |ground| vec![shade(ground)]);
            assert!(style.bg.is_none() || style.fg.is_some(), "{role:?} names a ground but no ink");
            for (ink, ground) in style.fg.iter().flat_map(|ink| grounds.iter().map(move |ground| (ink, ground))) {
                assert!(contrast(shade(*ink), *ground) >= 4.5, "{role:?} on {ground:?}");
            }
        }
    }

    /// Guideline 1.4.6 asks for 7.
    #[test]
    fn in_full_sun_nothing_is_dim_or_coloured() {
        let bright = theme(false, Light::Bright);
        let ground = bright.style(Role::Text);
        assert!(contrast(shade(ground.fg.unwrap()), shade(ground.bg.unwrap())) >= 7.0);
        for role in ROLES {
            let style = ground.patch(bright.style(role));
            assert_eq!((style.fg, style.bg), (ground.fg, ground.bg), "{role:?}");
            assert!(!style.add_modifier.contains(Modifier::DIM), "{role:?}");
        }
    }

    #[test]
    fn without_colour_every_meaning_stays() {
        for light in [Light::Ordinary, Light::Bright] {
            let theme = theme(true, light);
            for role in ROLES {
                let style = theme.style(role);
                assert_eq!((style.fg, style.bg, style.underline_color), (None, None, None), "{role:?}");
            }
            let meanings = [Role::Good, Role::Watch, Role::Alarm, Role::Selected].map(|role| theme.style(role));
            for (n, one) in meanings.iter().enumerate() {
                assert!(!meanings[..n].contains(one), "{one:?} means two things");
            }
        }
    }

    #[test]
    fn the_terminal_decides_unless_the_grower_does() {
        let look = |no_color, term, characters| Look::from_environment(no_color, term, characters);
        let coloured = |look: Look| look.theme.style(Role::Alarm).fg.is_some();
        let plain = |look: Look| look.glyphs.ellipsis == "~";
        for (term, colours, ascii) in
            [("xterm-256color", true, false), ("linux", true, true), ("dumb", false, true), ("", false, true)]
        {
            let look = look(false, term, None);
            assert_eq!((coloured(look), plain(look)), (colours, ascii), "{term:?}");
        }
        assert!(!coloured(look(true, "xterm", None)));
        assert!(!plain(look(false, "linux", Some(Characters::Unicode))));
        assert!(plain(look(false, "xterm", Some(Characters::Ascii))));
    }
}

//! Pictures of germinations as SVG, written out by hand: a band, steps and a few words need no library.

use std::fmt::Write;

/// One sowing as it is drawn. Across runs time in days since sowing, upward units up.
#[derive(Clone, Debug, PartialEq)]
pub struct Plot {
    /// Above the picture; any text.
    pub title: String,
    /// Units sown: the top of the picture.
    pub sown: u32,
    /// The last day of the picture; at least 1 is drawn.
    pub days: u32,
    /// Today, in days since sowing, when it is in the picture.
    pub today: Option<u32>,
    /// Day, and the units of which a tenth fall short, that are as often exceeded as not, that a tenth exceed.
    pub band: Vec<(u32, u32, u32, u32)>,
    /// Day and units up in all at each count.
    pub counts: Vec<(u32, u32)>,
    /// Days to mark along the foot, with their words.
    pub marks: Vec<(u32, String)>,
}

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 360.0;
/// Pictures in a row.
const ACROSS: usize = 2;
/// Room for words left, above, right and below.
const MARGIN: (f64, f64, f64, f64) = (46.0, 34.0, 14.0, 46.0);

/// Writes pictures of one size side by side, two in a row. Text is escaped, and points outside a picture are held at
/// its edge.
#[must_use]
pub fn germination(plots: &[Plot]) -> String {
    let mut svg = String::new();
    // Writing to a string does not fail.
    let _ = sheet(plots, &mut svg);
    svg
}

fn sheet(plots: &[Plot], svg: &mut String) -> std::fmt::Result {
    let across = plots.len().clamp(1, ACROSS);
    let (width, height) = (WIDTH * across as f64, HEIGHT * plots.len().div_ceil(across).max(1) as f64);
    writeln!(
        svg,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" font-family=\"sans-serif\" \
         font-size=\"12\">"
    )?;
    writeln!(svg, "<rect width=\"{width}\" height=\"{height}\" fill=\"white\"/>")?;
    for (at, plot) in plots.iter().enumerate() {
        let (x, y) = (WIDTH * (at % across) as f64, HEIGHT * (at / across) as f64);
        writeln!(svg, "<g transform=\"translate({x} {y})\">")?;
        draw(plot, svg)?;
        writeln!(svg, "</g>")?;
    }
    writeln!(svg, "</svg>")
}

fn draw(plot: &Plot, svg: &mut String) -> std::fmt::Result {
    let (left, top, right, bottom) = MARGIN;
    let x = |day: u32| left + (WIDTH - left - right) * (f64::from(day) / f64::from(plot.days.max(1))).min(1.0);
    let y =
        |up: u32| HEIGHT - bottom - (HEIGHT - top - bottom) * (f64::from(up) / f64::from(plot.sown.max(1))).min(1.0);
    let foot = HEIGHT - bottom;
    writeln!(svg, "<title>{}</title>", escaped(&plot.title))?;
    writeln!(svg, "<text x=\"{left}\" y=\"20\" font-size=\"14\">{}</text>", escaped(&plot.title))?;
    let upper = plot.band.iter().map(|(day, _, _, high)| (*day, *high));
    let lower = plot.band.iter().rev().map(|(day, low, ..)| (*day, *low));
    let outline: Vec<(f64, f64)> = upper.chain(lower).map(|(day, up)| (x(day), y(up))).collect();
    if !outline.is_empty() {
        writeln!(svg, "<polygon points=\"{}\" fill=\"#cfe3cf\"/>", points(&outline))?;
        let middle: Vec<(f64, f64)> = plot.band.iter().map(|(day, _, median, _)| (x(*day), y(*median))).collect();
        let style = "fill=\"none\" stroke=\"#4a7a4a\" stroke-dasharray=\"5 4\"";
        writeln!(svg, "<polyline points=\"{}\" {style}/>", points(&middle))?;
    }
    writeln!(svg, "<path d=\"M{left} {top}V{foot}H{}\" fill=\"none\" stroke=\"black\"/>", WIDTH - right)?;
    for up in [0, plot.sown / 2, plot.sown] {
        let at = y(up);
        writeln!(svg, "<text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{up}</text>", left - 6.0, at + 4.0)?;
    }
    for (day, words) in plot.marks.iter().filter(|(day, _)| *day <= plot.days) {
        let at = x(*day);
        writeln!(svg, "<path d=\"M{at:.1} {foot}v5\" stroke=\"black\"/>")?;
        let words = escaped(words);
        // In the middle of its mark the last would run over the edge.
        let (at, anchor) = if *day == plot.days { (WIDTH - 2.0, "end") } else { (at, "middle") };
        writeln!(svg, "<text x=\"{at:.1}\" y=\"{}\" text-anchor=\"{anchor}\">{words}</text>", foot + 19.0)?;
    }
    if let Some(today) = plot.today.filter(|today| *today <= plot.days) {
        let at = x(today);
        writeln!(svg, "<path d=\"M{at:.1} {top}V{foot}\" stroke=\"#a05000\" stroke-dasharray=\"2 3\"/>")?;
        writeln!(svg, "<text x=\"{at:.1}\" y=\"{}\" text-anchor=\"middle\">today</text>", foot + 35.0)?;
    }
    steps(plot, svg, x, y)
}

/// What was up stays so until the next count; each count is a dot.
fn steps(plot: &Plot, svg: &mut String, x: impl Fn(u32) -> f64, y: impl Fn(u32) -> f64) -> std::fmt::Result {
    let mut path = format!("M{:.1} {:.1}", x(0), y(0));
    for (day, up) in &plot.counts {
        write!(path, "H{:.1}V{:.1}", x(*day), y(*up))?;
    }
    let last = plot.today.or(plot.counts.last().map(|(day, _)| *day)).unwrap_or(0);
    write!(path, "H{:.1}", x(last))?;
    writeln!(svg, "<path d=\"{path}\" fill=\"none\" stroke=\"black\" stroke-width=\"2\"/>")?;
    for (day, up) in &plot.counts {
        writeln!(svg, "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"3.5\"/>", x(*day), y(*up))?;
    }
    Ok(())
}

fn points(points: &[(f64, f64)]) -> String {
    points.iter().map(|(x, y)| format!("{x:.1},{y:.1}")).collect::<Vec<_>>().join(" ")
}

/// Text that XML reads as text; control characters, which XML cannot hold, are left out.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\u{fffe}' | '\u{ffff}' => {}
            other if other.is_control() => {}
            other => safe.push(other),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plot() -> Plot {
        Plot {
            title: "2026/14 <tomato> & \"basil\"\u{1b}".to_owned(),
            sown: 40,
            days: 20,
            today: Some(12),
            band: vec![(0, 0, 0, 0), (8, 2, 15, 30), (20, 30, 35, 39)],
            counts: vec![(6, 0), (9, 9), (12, 22)],
            marks: vec![(0, "1 Mar".to_owned()), (20, "21 Mar".to_owned())],
        }
    }

    #[test]
    fn the_picture_is_well_formed_and_its_text_is_text() {
        let svg = germination(&[plot()]);
        assert!(svg.starts_with("<svg ") && svg.ends_with("</svg>\n"));
        assert!(svg.contains("2026/14 &lt;tomato&gt; &amp; &quot;basil&quot;</text>"), "{svg}");
        assert_eq!(svg.matches("<circle").count(), 3);
        // Source: XML 1.0, 2.4: a bare ampersand or angle bracket is no text.
        assert!(!svg.contains('\u{1b}') && !svg.contains("& "));
        let opened = svg.matches('<').count();
        assert_eq!(opened, svg.matches('>').count());
    }

    /// 40 of 40 at the top, none at the foot, the last day at the right edge.
    #[test]
    fn points_lie_where_they_are_read() {
        let svg = germination(&[Plot { counts: vec![(0, 0), (20, 40)], ..plot() }]);
        assert!(svg.contains("<circle cx=\"46.0\" cy=\"314.0\""), "{svg}");
        assert!(svg.contains("<circle cx=\"626.0\" cy=\"34.0\""), "{svg}");
        // The last day's words end within the picture.
        assert!(svg.contains("<text x=\"638.0\" y=\"333\" text-anchor=\"end\">21 Mar</text>"), "{svg}");
    }

    /// Three pictures take two rows of two, and none at all is an empty sheet.
    #[test]
    fn pictures_stand_side_by_side() {
        let svg = germination(&[plot(), plot(), plot()]);
        assert!(svg.contains("viewBox=\"0 0 1280 720\""), "{svg}");
        for at in ["0 0", "640 0", "0 360"] {
            assert_eq!(svg.matches(&format!("translate({at})")).count(), 1, "{at}");
        }
        assert_eq!(svg.matches("<svg ").count(), 1);
        assert!(germination(&[]).contains("viewBox=\"0 0 640 360\""));
    }

    #[test]
    fn an_empty_and_an_absurd_picture_are_drawn() {
        let nothing = Plot { sown: 0, days: 0, today: None, band: vec![], counts: vec![], marks: vec![], ..plot() };
        for plot in [nothing, Plot { counts: vec![(u32::MAX, u32::MAX)], today: Some(u32::MAX), ..plot() }] {
            let svg = germination(&[plot]);
            assert!(!svg.contains("NaN") && !svg.contains("inf"), "{svg}");
        }
    }
}

//! Values from an independent event tracer (tests/data/acceptance.csv, shots.csv), for three gears.

use kurbo::Point;
use thincut::gear::*;
use thincut::motion::BallBody;
use thincut::pocket::*;
use thincut::window::*;

fn gear(name: &str) -> Gear {
    let inch = 0.0254;
    let deg = std::f64::consts::PI / 180.0;
    let p = |mouth: f64, angle: f64, shelf: f64, cut: f64| PocketSpec {
        mouth_m: mouth * inch,
        facing_angle_rad: angle * deg,
        shelf_m: shelf * inch,
        cutout_radius_m: cut * inch,
        jaw_radius_m: 0.0,
        facing_restitution: 0.7,
        facing_friction: 0.14,
    };
    let (corner, side) = match name {
        "tight" => (p(4.25, 140.0, 1.9, 2.75), p(4.75, 102.0, 0.25, 3.0)),
        "loose" => (p(5.0, 142.0, 1.25, 2.75), p(5.5, 103.0, 0.1, 3.0)),
        _ => (p(4.5625, 142.0, 1.625, 2.75), p(5.0625, 104.0, 0.1875, 3.0)),
    };
    Gear {
        name: name.into(),
        bed: Bed {
            length_m: 2.54,
            width_m: 1.27,
        },
        balls: Balls {
            object_diameter_m: 0.05715,
            cue_diameter_m: 0.05715,
            object_mass_kg: 0.17,
            cue_mass_kg: 0.17,
        },
        contact: BallContact {
            restitution: 0.95,
            friction_floor: 9.951e-3,
            friction_span: 0.108,
            friction_decay_s_m: 1.088,
            friction_scale: 1.0,
        },
        cloth: Cloth {
            sliding_friction: 0.2,
            rolling_friction: 0.01,
            spin_decay_rad_s2: 10.0,
        },
        cushion: Cushion {
            nose_height_ratio: 0.635,
            restitution: 0.85,
            friction: 0.14,
        },
        corner,
        side,
    }
}

#[test]
fn acceptance() {
    let mut r = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path("tests/data/acceptance.csv")
        .unwrap();
    let rows: Vec<Vec<String>> = r
        .records()
        .map(|r| r.unwrap().iter().map(String::from).collect())
        .collect();
    let mut worst = 0.0f64;
    let mut i = 0;
    while i < rows.len() {
        let case = rows[i][0].clone();
        let mine: Vec<_> = rows[i..]
            .iter()
            .take_while(|r| r[0] == case)
            .cloned()
            .collect();
        i += mine.len();
        let r = &mine[0];
        let g = gear(&r[1]);
        let kind = if r[2] == "corner" {
            PocketKind::Corner
        } else {
            PocketKind::Side
        };
        let f = |k: usize| r[k].parse::<f64>().unwrap();
        let body = BallBody::object(&g);
        let shape = PocketShape::new(&g, kind, &body);
        let a = f(3).to_radians();
        let o = Point::new(-a.cos() * f(5) / 1e3, -a.sin() * f(5) / 1e3);
        let acc = accept(&shape, &g.cloth, &body, o, f(4)).unwrap().unwrap();
        let got: Vec<(f64, f64, &str)> = acc
            .pieces
            .spans()
            .iter()
            .map(|s| (s.from_rad.to_degrees(), s.to_rad.to_degrees(), s.tag.name()))
            .collect();
        let want: Vec<(f64, f64, &str)> = mine
            .iter()
            .map(|r| (r[6].parse().unwrap(), r[7].parse().unwrap(), r[8].as_str()))
            .collect();
        let same = got.len() == want.len() && got.iter().zip(&want).all(|(g, w)| g.2 == w.2);
        if !same {
            println!("case {case} {r:?}\n got {got:?}\n want {want:?}");
            worst = 99.0;
            continue;
        }
        for (g, w) in got.iter().zip(&want) {
            let e = (g.0 - w.0).abs().max((g.1 - w.1).abs());
            if e > 2e-6 {
                println!("case {case} {g:?} {w:?}");
            }
            worst = worst.max(e);
        }
    }
    println!("worst {worst}");
    assert!(worst < 5e-4);
}

#[test]
fn shots() {
    let mut r = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path("tests/data/shots.csv")
        .unwrap();
    let head: Vec<String> = r.headers().unwrap().iter().map(String::from).collect();
    let mut worst = 0.0f64;
    let mut worst_v = 0.0f64;
    for row in r.records() {
        let row = row.unwrap();
        let col = |n: &str| row[head.iter().position(|h| h == n).unwrap()].to_string();
        let num = |n: &str| col(n).parse::<f64>().unwrap();
        let mut g = gear(&col("gear"));
        if col("throw") == "no" {
            g.contact.friction_scale = 0.0;
        }
        let d = 0.3175;
        let shot = Shot::on_bed(
            &g,
            &BedShot {
                cue: Point::new(num("cue_x") * d, num("cue_y") * d),
                object: Point::new(num("object_x") * d, num("object_y") * d),
                pocket: col("pocket").parse().unwrap(),
            },
            Stroke {
                pace_m_s: num("pace_m_s"),
                roll: num("roll"),
                side: num("side"),
                ..Stroke::default()
            },
        )
        .unwrap();
        let s = solve(&g, &shot).unwrap();
        let w = s.window.unwrap();
        let acc = s.acceptance.unwrap();
        let mut chk = |name: &str, got: f64| {
            let e = (got - num(name)).abs();
            if e > 2e-6 {
                println!("{} {name}: {got} want {}", col("case"), num(name));
            }
            worst = worst.max(e);
        };
        chk("approach_deg", acc.approach_rad.to_degrees());
        chk("cut_deg", w.cut_rad.to_degrees().abs());
        chk("target_offset_deg", w.target_rad.to_degrees());
        chk(
            "aim_deg",
            (w.aim_in_pocket_frame_rad() + shot.frame.axis_rad)
                .to_degrees()
                .rem_euclid(360.0),
        );
        chk(
            "centre_pocket_aim_deg",
            (w.approach.base_rad + w.centre_aim_rad().unwrap() + shot.frame.axis_rad)
                .to_degrees()
                .rem_euclid(360.0),
        );
        chk("throw_deg", w.throw_fuller_rad().to_degrees());
        for (n, p) in [
            ("drop", w.drop.unwrap()),
            ("direct", w.direct.unwrap()),
            ("clean", w.clean.unwrap()),
        ] {
            chk(&format!("{n}_thick_deg"), p.thick_rad.to_degrees());
            chk(&format!("{n}_thin_deg"), p.thin_rad.to_degrees());
            chk(&format!("{n}_from_deg"), p.object.from_rad.to_degrees());
            chk(&format!("{n}_to_deg"), p.object.to_rad.to_degrees());
        }
        for (n, v) in [
            ("object_speed_m_s", w.object_speed_m_s),
            ("cue_speed_m_s", w.cue_speed_m_s),
        ] {
            worst_v = worst_v.max((v / num(n) - 1.0).abs());
        }
        assert_eq!(w.cut_left, col("cut_side") == "left");
    }
    println!("worst {worst} {worst_v}");
    assert!(worst < 5e-4 && worst_v < 1e-4);
}

//! Levels when a pump starts and stops, against independent balances and integrations.

use bywash::formulas::{
    pipe::Run,
    siphon::{DrainBack, InTransit, Stop, drawn_down, level_after_return, rest},
    storage::{Profile, Storage},
    weir::FRANCIS,
};

use super::table::{close, rows};

/// A basin with upright walls.
fn upright(area: f64) -> Storage {
    Storage::open(&Profile::contours(&[(-5.0, area), (5.0, area)]).unwrap())
}

/// scipy 1.17.1 `quad` of dh over the rate of change, fluids 1.3.1 Colebrook.
#[test]
fn reference_siphon_drain_back() {
    for row in rows("routing/12c_siphon_drain_back.csv") {
        let upper = upright(row.num("A_upper_m2") * row.num("porosity_upper"));
        let lower = upright(row.num("A_lower_m2") * row.num("porosity_lower"));
        let end = rest(&DrainBack {
            upper: &upper,
            upper_level: row.num("z_upper0_m"),
            lower: &lower,
            lower_level: row.num("z_lower0_m"),
            mouth: f64::NEG_INFINITY,
            air_inlet: Some(row.num("z_vent_m")),
            outlet: row.opt("z_outlet_m"),
        });
        let stop = match row.text("stop") {
            "vent" => Stop::AirInlet,
            "equalized" => Stop::LevelsMet,
            other => panic!("stop {other}"),
        };
        assert_eq!(end.stop, stop);
        close(end.volume, row.num("V_moved_m3"), 1e-6, "volume");
        close(end.upper_level, row.num("z_upper_end_m"), 1e-6, "upper level");
        close(end.lower_level, row.num("z_lower_end_m"), 1e-6, "lower level");
    }
}

/// Balances of volume computed with numpy 2.4.6; film by Q = 1.84·b·h^1.5.
#[test]
fn reference_start_up_and_shut_down() {
    for row in rows("routing/12d_startup_drawdown.csv") {
        let flow = row.num("Q_m3_s");
        let film = (flow / (FRANCIS * row.num("b_weir_m"))).powf(2.0 / 3.0);
        let line = Run::new(row.num("D_pipe_m"), row.num("L_pipe_m"), 0.0);
        let running = InTransit {
            films: film * row.num("A_upper_m2"),
            streams: row.num("A_stream_m2") * row.num("depth_stream_m"),
            lines: 0.0,
        };
        let with_line = InTransit {
            lines: line.volume(),
            ..running
        };
        let basin = upright(row.num("A_open_m2") + row.num("A_media_m2") * row.num("porosity_media"));

        close(
            running.total(),
            row.num("V_transit_m3"),
            1e-9,
            "volume in transit",
        );
        close(with_line.lines, row.num("V_pipe_m3"), 1e-9, "volume of the line");
        close(
            with_line.time_to_fill(flow),
            row.num("time_to_fill_s"),
            1e-9,
            "time to fill",
        );
        let drawdown = -drawn_down(&basin, 0.0, running.total()).level;
        close(drawdown, row.num("drawdown_m"), 1e-9, "drawdown");
        let surge = level_after_return(&basin, 0.0, with_line.total());
        close(surge, row.num("drawdown_with_pipe_m"), 1e-9, "surge");
        let fits = |value: f64, limit: &str| (value <= row.num(limit)).to_string();
        assert_eq!(fits(drawdown, "allowed_drawdown_m"), row.text("drawdown_ok"));
        assert_eq!(fits(surge, "freeboard_m"), row.text("surge_with_pipe_ok"));
    }
}

//! A tank running empty, against independent integrations.

use bywash::formulas::{
    drain::{Orifice, PipeDrain},
    pipe::Run,
};

use super::table::{close, rows};

/// Closed form, checked there by scipy 1.17.1 `solve_ivp` (DOP853).
#[test]
fn reference_drain_through_an_orifice() {
    for row in rows("levels/12a_drain_orifice.csv") {
        let orifice = Orifice {
            diameter: row.num("d_orifice_m"),
            coefficient: row.num("Cd"),
        };
        let area = row.num("A_m2") * row.num("porosity");
        let (first, last) = (row.num("h1_m"), row.num("h2_m"));
        let time = orifice.time(area, first, last);
        close(time, row.num("t_closed_s"), 1e-9, "time");
        if let Some(integrated) = row.opt("t_ivp_s") {
            close(time, integrated, 1e-9, "time, integrated");
        }
        close(orifice.flow(first), row.num("Q_initial_m3_s"), 1e-9, "first flow");
        close(area * (first - last), row.num("V_drained_m3"), 1e-9, "volume");
        let back = area * (first - orifice.head_after(area, first, time));
        close(back, row.num("V_drained_m3"), 1e-9, "volume after that time");
    }
}

/// scipy 1.17.1 `quad` of A/Q(h) and `solve_ivp`, fluids 1.3.1 Colebrook.
#[test]
fn reference_drain_through_a_pipe() {
    for row in rows("levels/12b_drain_pipe.csv") {
        let drain = PipeDrain {
            area: row.num("A_m2"),
            fall: row.num("z_fall_m"),
            pipe: Run {
                diameter: row.num("D_m"),
                length: row.num("L_m"),
                roughness: row.num("eps_m"),
                minor_k: row.num("K_total"),
                laminar_k: 0.0,
            },
            nu: row.num("nu_m2_s"),
        };
        let (first, last) = (row.num("h1_m"), row.num("h2_m"));
        let time = drain.time(first, last);
        close(time, row.num("t_ref_s"), 1e-8, "time");
        close(time, row.num("t_ivp_s"), 1e-8, "time, integrated");
        close(
            drain.time_at_first_friction(first, last),
            row.num("t_const_f_s"),
            1e-8,
            "time at the first friction",
        );
        close(drain.flow(first), row.num("Q_start_m3_s"), 1e-9, "first flow");
        close(drain.flow(last), row.num("Q_end_m3_s"), 1e-9, "last flow");
    }
}

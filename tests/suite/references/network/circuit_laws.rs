//! Laws that every solution of a circuit keeps, loops among them.

use std::{collections::BTreeMap, env};

use bywash::formulas::{
    network::{LinkState, NoSolution, NodeId, Solution},
    weir::Edge,
};
use proptest::{
    prelude::*,
    sample::Index,
    strategy::ValueTree,
    test_runner::{RngSeed, TestRunner},
};

use super::{
    circuits::{Circuit, Way, circuit},
    held::{Built, Kind, Piece, says_why},
};

const EDGES: &[Edge] = &[Edge::ThinLip, Edge::BroadStone, Edge::RoughStone];
/// Edges whose law has no length of its own.
const STONE: &[Edge] = &[Edge::BroadStone, Edge::RoughStone];

/// How many circuits are tried; more are asked for by the variable BYWASH_CIRCUITS.
fn cases() -> u32 {
    env::var("BYWASH_CIRCUITS")
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(3000)
}

/// The same circuits in every run. Each converges and keeps the laws or says why it has no answer, within 200 steps.
#[test]
fn circuits_solve_or_say_why() {
    let mut runner = TestRunner::deterministic();
    let strategy = circuit(EDGES);
    let mut outcomes: BTreeMap<&str, u32> = BTreeMap::new();
    let mut most_steps = 0;
    for case in 0..cases() {
        let circuit = strategy.new_tree(&mut runner).unwrap().current();
        let built = circuit.build(0);
        let answer = built.network.solve();
        let outcome = match &answer {
            Ok(solution) => {
                most_steps = most_steps.max(solution.iterations);
                built.assert_laws(solution);
                assert_loops(&built, solution);
                "solved"
            }
            Err(NoSolution::PumpCannotLift { .. }) => "cannot lift",
            Err(NoSolution::BeyondCurve { .. }) => "beyond the curve",
            Err(NoSolution::NoWaterPath { .. }) => "no path",
            Err(NoSolution::Node { .. }) => "no level",
            Err(NoSolution::DidNotConverge { iterations, residual }) => {
                assert!(*iterations <= 200 && !residual.head.is_nan() && !residual.flow.is_nan());
                println!("case {case}: {answer:?}");
                "not converged"
            }
            Err(other) => panic!("{other:?}"),
        };
        *outcomes.entry(outcome).or_default() += 1;
    }
    println!("{outcomes:?}, at most {most_steps} steps");
    assert!(outcomes["solved"] > cases() / 4);
    // Of 100,000 a handful may say that they did not converge.
    let lost = outcomes.get("not converged").copied().unwrap_or(0);
    assert!(lost <= cases() / 10_000, "{lost} did not converge");
}

/// Round every loop of open ways the heads lost and given add up to nothing.
fn assert_loops(built: &Built, solution: &Solution) {
    let open = |(id, piece): &&(_, Piece)| {
        let outlet = matches!(piece.kind, Kind::Pipe { outlet: Some(_), .. } | Kind::Spill(..));
        !outlet && solution.state(*id).unwrap() == LinkState::Open
    };
    // Head lost on the way from the root of each node's tree; the first way found to each.
    let mut reached: BTreeMap<NodeId, f64> = BTreeMap::new();
    for &(root, _) in &built.nodes {
        if reached.contains_key(&root) {
            continue;
        }
        reached.insert(root, 0.0);
        let mut fresh = vec![root];
        while let Some(node) = fresh.pop() {
            let so_far = reached[&node];
            for (id, piece) in built.links.iter().filter(open) {
                let loss = built.loss(&piece.kind, solution.flow(*id).unwrap());
                let (next, lost) = match node {
                    node if node == piece.from => (piece.to, so_far + loss),
                    node if node == piece.to => (piece.from, so_far - loss),
                    _ => continue,
                };
                if let Some(other) = reached.get(&next) {
                    assert!((other - lost).abs() < 1e-7, "a loop keeps {}", other - lost);
                } else {
                    reached.insert(next, lost);
                    fresh.push(next);
                }
            }
        }
    }
}

/// Flow through a way of the tree, where the circuit has an answer.
fn flow(circuit: &Circuit, way: usize) -> Option<f64> {
    let built = circuit.build(0);
    built
        .network
        .solve()
        .ok()
        .map(|solution| solution.flow(built.links[way].0).unwrap())
}

/// Holds that a second circuit carries the flows of the first, times the power 2.5 of its size; one of the rare searches
/// that run out tells nothing.
fn run_alike(first: &Built, second: &Built, size: f64) -> Result<(), TestCaseError> {
    let (one, other) = (first.network.solve(), second.network.solve());
    if !says_why(&one) || !says_why(&other) {
        return Ok(());
    }
    match (one, other) {
        (Ok(a), Ok(b)) => {
            let growth = size.powf(2.5);
            // A wide-open valve passes some tenths of a millilitre a second for the head left as rounding.
            let slack = growth * (1e-5 * first.usual_flow() + 3e-7);
            for ((id, _), (same, _)) in first.links.iter().zip(&second.links) {
                let (flow, want) = (b.flow(*same).unwrap(), growth * a.flow(*id).unwrap());
                prop_assert!((flow - want).abs() <= slack, "{flow}, not {want}");
            }
        }
        (Err(a), Err(b)) => prop_assert_eq!(std::mem::discriminant(&a), std::mem::discriminant(&b)),
        // A basin that still water alone joins to the rest: whether its level counts as settled hangs on rounding.
        (Err(NoSolution::Node { .. }), Ok(_)) | (Ok(_), Err(NoSolution::Node { .. })) => {}
        (a, b) => prop_assert!(false, "{a:?} and {b:?}"),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, rng_seed: RngSeed::Fixed(1), ..ProptestConfig::default() })]

    #[test]
    fn order_of_links_does_not_matter(circuit in circuit(EDGES), rotation in 1_usize..40) {
        run_alike(&circuit.build(0), &circuit.build(rotation), 1.0)?;
    }

    #[test]
    fn a_model_of_another_size_runs_alike(circuit in circuit(STONE), size in 0.5..2.0_f64) {
        run_alike(&circuit.build(0), &circuit.scaled(size).build(0), size)?;
    }

    #[test]
    fn more_loss_or_a_narrower_pipe_never_raises_its_flow(
        circuit in circuit(EDGES),
        which in any::<Index>(),
        more_k in 0.0..20.0,
        narrower in 0.5..1.0,
    ) {
        prop_assume!(!circuit.tree.is_empty());
        let which = which.index(circuit.tree.len());
        let mut tighter = circuit.clone();
        match &mut tighter.tree[which].1 {
            Way::Pipe { run, .. } => {
                run.minor_k += more_k;
                run.diameter *= narrower;
            }
            Way::Throttle { diameter, k, .. } => {
                *k += more_k;
                *diameter *= narrower;
            }
            Way::Booster(_) => return Ok(()),
        }
        if let (Some(before), Some(after)) = (flow(&circuit, which), flow(&tighter, which)) {
            let slack = 1e-6 * circuit.build(0).usual_flow();
            prop_assert!(after.abs() <= before.abs() + slack, "{before} became {after}");
        }
    }
}

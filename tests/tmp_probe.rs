use inchwise::statics::plan::Plan;
#[test]
fn probe() {
    let g = inchwise::tables::Grip::fit(inchwise::tables::Surface::Grass, false);
    println!("{g:?} {} {}", (g.timber * g.sheet).sqrt(), (g.sheet * g.rubber).sqrt());
    for name in ["beam-lift", "deck-lid-wedged", "deck-lid-tall"] {
        let scene = inchwise::scene::load(name, &[]).unwrap().scene;
        let t = std::time::Instant::now();
        let plan = Plan::of(&scene).unwrap();
        println!("\n{name} {:?}", t.elapsed());
        let l = plan.lift.as_ref().unwrap();
        println!(
            "found limbs {:?} start limbs {:?} ground {} fill {} pitch {}",
            (0..scene.limbs.len()).map(|i| plan.on_limb_n(&plan.found, i)).collect::<Vec<_>>(),
            (0..scene.limbs.len()).map(|i| plan.on_limb_n(&plan.start, i)).collect::<Vec<_>>(),
            plan.on_ground_n(&plan.start),
            plan.on_fill_n(&plan.start),
            plan.start.lie.pitch_rad.to_degrees()
        );
        for r in [0.0, 0.007, 0.021, 0.052, 0.104, 0.155, 0.191, 0.229, 0.235] {
            let s = l.at(r);
            let arc = l.arc(&l.points[0], &s, r).slip_m;
            println!(
                "r {r} lift {:.0} ground {:.0} fill {:.0} pitch {:.3} limbs {:?} gap {:?} arc {:.4}",
                s.lift_n,
                plan.on_ground_n(&s),
                plan.on_fill_n(&s),
                s.lie.pitch_rad.to_degrees(),
                (0..scene.limbs.len()).map(|i| plan.on_limb_n(&s, i) as i32).collect::<Vec<_>>(),
                scene
                    .limbs
                    .iter()
                    .map(|x| inchwise::statics::gap::gap_m(&scene.vehicle, s.lie, x))
                    .collect::<Vec<_>>(),
                arc
            );
        }
        for s in &l.steps {
            println!(
                "step {} rise {:.4} t {:.2} {:?} {:?}",
                s.order,
                s.rise_m,
                s.time_s,
                s.bags
                    .iter()
                    .map(|b| format!("{:.3}/{:.3}bar/{:.0}N", b.gap_m, b.gauge_pa / 1e5, b.force_n))
                    .collect::<Vec<_>>(),
                s.stuck
            );
        }
        println!(
            "left out {:?} rise {} air {} L face {} place {:?}",
            l.left_out,
            l.rise_m,
            l.air_used_m3(&scene) * 1e3,
            l.face_rad.to_degrees(),
            l.place
        );
        for p in &l.points {
            let s = l.end();
            let arc = l.arc(p, &s, l.swell_m(&scene, p, l.rise_m));
            println!("{p:?} {arc:?} enters {}", l.enters_m(&scene, p, &s, arc));
        }
    }
}

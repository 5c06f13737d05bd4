#!/bin/sh
# Makes the four shipped maps: sh docs/maps/make.sh [VALUES] [PROGRAM]
# VALUES is how many values an axis has (20 by default; layers are 4 to 12), PROGRAM the built inchwise.
set -eu
cd "$(dirname "$0")/../.."
n=${1:-20}
program=${2:-cargo run --release --quiet --}

# Stack height against the slope of the face over it. The body grows with the stack, so that
# the bag has the same way to go and the same load to lift; its mass stays 0.75 m up.
$program sweep docs/maps/face.ron --quiet --vary "stacks.tail.layers=4..12:9 \
& vehicle.profile.header.1=1.2996 m..2.0108 m:9 \
& vehicle.profile.roof_rear.1=1.2996 m..2.0108 m:9 \
& vehicle.com.y=0.5496 m..1.2608 m:9" \
    --vary "vehicle.profile.deck_slope=16 deg..32 deg:17" \
    --csv docs/maps/face.csv --map docs/maps/face.svg

# Supply imbalance against how far apart the two stacks of a beam stand.
$program sweep docs/maps/pair.ron --quiet \
    --vary "stacks.left.at.1=1.1 m..1.55 m:$n & stacks.right.at.1=-1.1 m..-1.55 m:$n" \
    --vary "air.outlets.right.opening=10 %..100 %:$n" \
    --csv docs/maps/roll.csv --map docs/maps/roll.svg

# What the ground's friction is of the table's against its slope, without chocks and with.
$program sweep docs/maps/slide.ron --quiet \
    --vary "ground.slope=1 deg..20 deg:$n" --vary "ground.friction=25 %..120 %:$n" \
    --vary 'chocks=[],[(name: "left", at: ["2.265 m", "0.45 m"], staked: true), (name: "right", at: ["2.265 m", "-0.45 m"], staked: true)]' \
    --csv docs/maps/slide.csv --map docs/maps/slide.svg

# How far the stacks stand from the sill against the load, on a beam of 4x4.
$program sweep docs/maps/pair.ron --quiet --change beam.timber=4x4 \
    --vary "stacks.left.at.1=1.1 m..1.55 m:$n & stacks.right.at.1=-1.1 m..-1.55 m:$n" \
    --vary "vehicle.mass=800 kg..3000 kg:$n" \
    --csv docs/maps/beam.csv --map docs/maps/beam.svg

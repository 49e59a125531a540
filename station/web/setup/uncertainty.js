// A gauge's standard uncertainty out of what a shop knows, in whole nanometres and never rounded down.
//
//   u = square root of ( resolution^2 / 12 + (U / k)^2 + s^2 )
//
// resolution / sqrt(12): a reading is anywhere within its last digit (JCGM 100:2008, F.2.2.1 and 4.3.7); U / k: the
// certificate's expanded uncertainty and its factor (JCGM 100:2008, 7.2.3 and 4.3.3); s: standard deviation of repeated
// readings of one part (4.2). They are independent of each other, so their squares add (5.1.2).

// Smallest whole number whose square is at least n.
export function rootUp(n) {
    if (n <= 0n) return 0n;
    let x = BigInt(Math.floor(Math.sqrt(Number(n))));
    while (x * x >= n) x -= 1n;
    while (x * x < n) x += 1n;
    return x;
}

// All in nm; factor in thousandths (2000 is k = 2). Gives {resolution, calibration, repeatability, all}, each the
// standard uncertainty in nm, rounded up.
export function standardUncertainty({resolution_nm, expanded_nm, factor_thousandths, repeatability_nm}) {
    const r = BigInt(resolution_nm);
    const e = BigInt(expanded_nm) * 1000n;
    const k = BigInt(factor_thousandths);
    const s = BigInt(repeatability_nm);
    // 12 k^2 u^2 = k^2 r^2 + 12 e^2 + 12 k^2 s^2, all whole.
    const top = k * k * r * r + 12n * e * e + 12n * k * k * s * s;
    const bottom = 12n * k * k;
    const up = (a, b) => (a + b - 1n) / b;
    return {
        resolution: Number(rootUp(up(r * r, 12n))),
        calibration: Number(up(e, k)),
        repeatability: Number(s),
        all: Number(rootUp(up(top, bottom))),
    };
}

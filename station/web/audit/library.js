// Chart.js, from this station, when a chart is first wanted: Debian's, built into the program. It sets globalThis.Chart.
//
//   const Chart = await chartLibrary()     null when it could not be had: the tables say the same

let asked = null;

export function chartLibrary() {
    asked ??= new Promise((resolve) => {
        const script = document.createElement("script");
        script.src = new URL("../foreign/chart.js", import.meta.url).href;
        script.addEventListener("load", () => resolve(globalThis.Chart ?? null));
        script.addEventListener("error", () => {
            asked = null; // the next chart asks again
            resolve(null);
        });
        document.head.append(script);
    });
    return asked;
}

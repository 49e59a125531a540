// How far an order is: a bar whose parts differ in pattern and place, and the same in words.

import {el} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {progressOf} from "./fields.js";

const parts = [
    ["passed", "page.order.passed"],
    ["work", "page.order.in_work"],
    ["held", "page.order.held"],
    ["scrapped", "page.order.scrapped"],
    ["toGo", "page.order.to_go"],
];

export function progress(order) {
    const p = progressOf(order);
    const shown = parts.filter(([name]) => p[name] > 0);
    return el(
        "div",
        {class: "order-progress"},
        el(
            "div",
            {class: "order-bar", aria: {hidden: "true"}},
            shown.map(([name]) => el("span", {class: `order-bar-${name}`, style: {"flex-grow": String(p[name])}})),
        ),
        el(
            "p",
            {class: "order-counts", data: {test: "counts"}},
            shown.map(([name, words], i) => [
                i > 0 ? " " : null,
                el("span", {class: `order-count order-count-${name}`}, el("b", {}, String(p[name])), "\u00a0", say(words)),
            ]),
        ),
    );
}

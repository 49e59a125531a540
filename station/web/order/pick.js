// The orders to pick from: what is being worked first, then what waits by its due date, and what is complete last.

import {el} from "../kit/dom.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";
import {groupOf} from "./fields.js";
import {progress} from "./progress.js";

const titles = {worked: "page.order.group_worked", open: "page.order.group_open", complete: "page.order.group_complete"};

const byDue = (a, b) => (a.due || "9999").localeCompare(b.due || "9999") || a.seq - b.seq;

function card(order, {group, today, taken, locked, take}) {
    const late = group !== "complete" && order.due && order.due < today;
    return el(
        "li",
        {},
        el(
            "button",
            {
                class: taken === order.order ? "order-card taken" : "order-card",
                disabled: group === "complete" || locked,
                aria: {describedby: locked ? "order-locked" : null},
                data: {test: `order-${order.order}`},
                on: {click: () => take(order.order)},
            },
            el(
                "span",
                {class: "order-card-head"},
                el("b", {class: "order-number"}, order.order),
                group === "complete"
                    ? el("span", {class: "order-card-done"}, sign("conforms"), say("page.order.complete"))
                    : el(
                          "span",
                          {class: late ? "order-due late" : "order-due"},
                          order.due ? say(late ? "page.order.overdue" : "page.order.due", {date: order.due}) : say("page.order.no_due"),
                      ),
            ),
            el("span", {class: "order-card-for"}, `${order.customer_part}, ${order.customer}`),
            progress(order),
            taken === order.order ? el("span", {class: "order-card-here"}, say("page.order.at_bench")) : null,
        ),
    );
}

export function pickList(orders, options) {
    const groups = {worked: [], open: [], complete: []};
    for (const order of orders) groups[groupOf(order, options.taken)].push(order);
    return Object.entries(groups)
        .filter(([, list]) => list.length > 0)
        .map(([group, list]) =>
            el(
                "section",
                {class: "order-group", data: {test: `group-${group}`}},
                el("h2", {}, say(titles[group]), " ", el("span", {class: "muted"}, `(${list.length})`)),
                el("ul", {class: "order-cards"}, list.sort(byDue).map((order) => card(order, {...options, group}))),
            ),
        );
}

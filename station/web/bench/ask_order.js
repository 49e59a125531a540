// Taking an order at the bench: scan it, or press it. The Order page has the same with more room.
//
//   ordersOf(desk)      the orders as GET /api/orders had them, read once and again when asked
//   orderView(bench, desk)

import {get} from "../kit/api.js";
import {el} from "../kit/dom.js";
import {say} from "../kit/words.js";

const MOST = 6; // as many as fit without scrolling; more are found on the Order page

export function loadOrders(desk) {
    const memory = desk.memory;
    if (memory.ordersAt && Date.now() - memory.ordersAt < 4000) return;
    memory.ordersAt = Date.now();
    get("/api/orders").then((answer) => {
        if (!answer.ok) return;
        memory.orders = answer.body.orders ?? [];
        desk.redraw();
    });
}

export function orderView(bench, desk) {
    loadOrders(desk);
    const open = (desk.memory.orders ?? []).filter((o) => o.passed < o.quantity);
    open.sort((a, b) => (a.due || "9").localeCompare(b.due || "9"));
    const take = (order) => desk.act("/api/orders/take", {order});
    const only = open.length === 1 ? open[0] : null;
    return {
        sentence: desk.memory.orders && open.length === 0 ? say("page.bench.no_orders") : say("page.bench.order_ask"),
        hint: desk.memory.orders && open.length === 0 ? say("page.bench.no_orders_do") : say("page.bench.order_do"),
        body: el(
            "div",
            {class: "choices"},
            open.slice(0, MOST).map((o) =>
                el(
                    "button",
                    {class: "choice", data: {test: `take-${o.order}`}, on: {click: () => take(o.order)}},
                    el("b", {}, o.order),
                    el("span", {}, `${o.customer_part} \u00b7 ${o.customer}`),
                    el("span", {}, say("page.bench.order_progress", {passed: o.passed, quantity: o.quantity}), o.due ? ` \u00b7 ${say("page.bench.due", {due: o.due})}` : null),
                ),
            ),
        ),
        main: only ? {key: only.order, text: say("page.bench.take_order", {order: only.order}), run: () => take(only.order)} : null,
        others: [{test: "order-page", text: say("page.bench.order_page"), run: () => desk.context.go("#/order")}],
        scan: take,
    };
}

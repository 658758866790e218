"""Every page and action, a module per noun."""

from webapp.routes import (
    backup,
    cost,
    estimate,
    health,
    history,
    hours,
    job,
    measure,
    operation,
    option,
    piece,
    practice,
    price,
    quote,
    shop,
    stock,
    take_off,
    terms,
    working,
)

ROUTERS = tuple(
    module.router
    for module in (
        backup,
        cost,
        estimate,
        health,
        history,
        hours,
        job,
        measure,
        operation,
        option,
        piece,
        practice,
        price,
        quote,
        shop,
        stock,
        take_off,
        terms,
        working,
    )
)

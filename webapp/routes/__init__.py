"""Every page and action, a module per noun."""

from webapp.routes import (
    backup,
    health,
    history,
    hours,
    job,
    measure,
    operation,
    piece,
    practice,
    price,
    shop,
    take_off,
    working,
)

ROUTERS = tuple(
    module.router
    for module in (
        backup,
        health,
        history,
        hours,
        job,
        measure,
        operation,
        piece,
        practice,
        price,
        shop,
        take_off,
        working,
    )
)

"""Every page and action, a module per noun."""

from webapp.routes import health, history, hours, job, measure, operation, piece, practice, shop, working

ROUTERS = tuple(module.router for module in (health, history, hours, job, measure, operation, piece, practice, shop, working))

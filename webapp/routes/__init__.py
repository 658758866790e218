"""Every page and action, a module per noun."""

from webapp.routes import health, history, job, measure, working

ROUTERS = tuple(module.router for module in (health, history, job, measure, working))

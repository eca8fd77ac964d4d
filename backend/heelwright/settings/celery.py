"""The queue: what is done beside the server, by `heelwright work`. Only ids go into it."""

from celery import Celery

app = Celery("heelwright")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
# In seconds. What is due is found by its rows: a turn that was missed loses nothing.
app.conf.beat_schedule = {
    "keep_watch": {"task": "heelwright.lone_work.tasks.keep_watch", "schedule": 60},
    "forget_plans": {"task": "heelwright.planning.tasks.forget_plans", "schedule": 3600},
}

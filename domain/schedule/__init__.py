"""The arithmetic of plans: activities, people, resources and windows in whole slots of time; nothing of wood.

problem.py says what is asked and schedule.py what is answered; every other module leads from one to the other.
Known in the literature as project scheduling with limited resources and generalised precedence (RCPSP/max), here on
calendars. Source of the words: Neumann, Schwindt, Zimmermann, Project Scheduling with Time Windows and Scarce
Resources (2003); from memory.
"""

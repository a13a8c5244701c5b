"""tendwork: turns rule templates, the calendar and the buds into the right orchard jobs for the week.

Nothing is imported here, so that a text command pays only for what it uses.
"""

__version__ = "0.1.0"

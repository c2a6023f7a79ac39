"""What may be asked for, one module each: it shows, understands, helps with and retells itself.

Beside them `line_answers.py`: facts and readings as they are typed where something else is asked for.
"""

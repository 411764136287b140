"""What a weather file says: its rows read, what fell, how warm and how windy it was.

Used by the call's facts, by `growth` and by the command that shows a file. Everything is an
interval: a day or a value that is missing stays unknown and never becomes zero.
"""

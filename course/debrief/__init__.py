"""The debrief of a judged call: what it finds, drawn and written as one page."""

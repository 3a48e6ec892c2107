"""The judgement: replays a record and says what it is worth. Never imports a widget."""

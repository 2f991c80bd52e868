// removed with the room's first source

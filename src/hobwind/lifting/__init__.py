"""The gear that lifts a guarded fan, sized: springs, the pin's train, the element's foot and ring, lever, base and studs."""

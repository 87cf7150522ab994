"""An Ask in; its best setups out, ranked, with the proof that nothing better was left out."""

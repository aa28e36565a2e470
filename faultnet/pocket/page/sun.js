// The light: as the phone has it, or for full sun, where only the strongest contrast can be read.

/** Returns the switch for full sun; it is remembered on this phone, locked or not. */
export async function sunOf(kept) {
  const root = document.documentElement;
  const show = (on) => root.toggleAttribute("data-sun", on);
  show(Boolean(await kept.setting("sun")));
  return {
    get on() { return root.hasAttribute("data-sun"); },
    async turn() {
      show(!this.on);
      await kept.setSetting("sun", this.on, { open: true });
    },
  };
}

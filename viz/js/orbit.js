/* Pointer, wheel and keys turn, move and near the camera; the horizon stays level. */
class Orbit {
  constructor(picture) {
    this.picture = picture;
    this.held = new Map();
    const { box } = picture;
    if (box.tabIndex < 0) box.tabIndex = 0;
    box.style.touchAction = 'none';
    box.addEventListener('pointerdown', (e) => this.press(e));
    box.addEventListener('pointermove', (e) => this.move(e));
    for (const end of ['pointerup', 'pointercancel']) box.addEventListener(end, (e) => this.held.delete(e.pointerId));
    box.addEventListener('wheel', (e) => this.wheel(e), { passive: false });
    box.addEventListener('keydown', (e) => this.key(e));
    box.addEventListener('contextmenu', (e) => e.preventDefault());
  }

  press(e) {
    this.held.set(e.pointerId, [e.clientX, e.clientY]);
    this.picture.box.setPointerCapture(e.pointerId);
    this.picture.box.focus({ preventScroll: true });
  }

  move(e) {
    const before = this.held.get(e.pointerId);
    if (!before) return;
    const now = [e.clientX, e.clientY];
    const [dx, dy] = [now[0] - before[0], now[1] - before[1]];
    const other = [...this.held].find(([id]) => id !== e.pointerId)?.[1];
    this.held.set(e.pointerId, now);
    if (other) {
      this.near(Math.hypot(before[0] - other[0], before[1] - other[1]) / Math.max(Math.hypot(now[0] - other[0], now[1] - other[1]), 1));
      this.pan(dx / 2, dy / 2);
    } else if (e.shiftKey || e.buttons & 6) this.pan(dx, dy);
    else this.turn(-dx * 0.006, dy * 0.006);
  }

  wheel(e) {
    e.preventDefault();
    this.near(Math.exp(Math.max(-1, Math.min(1, e.deltaY * 0.0012))));
  }

  key(e) {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
    if (step && e.shiftKey) this.pan(-step[0] * 30, step[1] * 30);
    else if (step) this.turn(step[0] * 0.08, step[1] * 0.08);
    else if (e.key === '+' || e.key === '=') this.near(0.88);
    else if (e.key === '-') this.near(1.14);
    else if (e.key === 'Home') this.picture.look(this.picture.view);
    else return;
    e.preventDefault();
    e.stopPropagation();
  }

  /* Camera as azimuth, height angle and distance about its focal point. */
  polar() {
    const { position, focal } = this.picture.camera;
    const [x, y, z] = position.map((p, k) => p - focal[k]);
    const distance = Math.hypot(x, y, z);
    const level = Math.hypot(x, y);
    const azimuth = level < 1e-3 * distance ? -Math.PI / 2 : Math.atan2(y, x);
    return { azimuth, height: Math.atan2(z, level), distance };
  }

  place(azimuth, height, distance) {
    const { camera } = this.picture;
    const h = Math.min(Math.max(height, -0.35), 1.54);
    const flat = Math.cos(h) * distance;
    camera.position = [
      camera.focal[0] + flat * Math.cos(azimuth),
      camera.focal[1] + flat * Math.sin(azimuth),
      camera.focal[2] + Math.sin(h) * distance,
    ];
    camera.up = [0, 0, 1];
    this.picture.need();
  }

  turn(by, up) {
    const { azimuth, height, distance } = this.polar();
    this.place(azimuth + by, height + up, distance);
  }

  near(factor) {
    const { azimuth, height, distance } = this.polar();
    this.place(azimuth, height, Math.min(Math.max(distance * factor, 1.5), 600));
  }

  pan(dx, dy) {
    const { camera, box } = this.picture;
    const { azimuth, distance } = this.polar();
    const metres = (2 * distance * Math.tan((camera.angle * Math.PI) / 360)) / Math.max(box.clientWidth, 1);
    const right = [-Math.sin(azimuth), Math.cos(azimuth)];
    const ahead = [-Math.cos(azimuth), -Math.sin(azimuth)];
    for (let k = 0; k < 2; k++) {
      const move = metres * (-dx * right[k] + dy * ahead[k]);
      camera.focal[k] += move;
      camera.position[k] += move;
    }
    this.picture.need();
  }
}

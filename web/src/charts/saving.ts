/**
 * A picture on its own, outside the page.
 *
 * Enters: an SVG element as drawn. Leaves: SVG text with its colours, title and reading inside; a PNG of it.
 * Always true: the file looks as the picture did in the theme of the moment.
 * Never: refers to anything outside the file.
 */
const PNG_SCALE = 2;

export function standaloneSvg(picture: SVGSVGElement, title: string, reading: string): string {
  const copy = picture.cloneNode(true) as SVGSVGElement;
  const style = getComputedStyle(document.documentElement);
  const resolved = (text: string): string => text.replace(/var\((--[a-z0-9-]+)\)/g, (_, name: string) => style.getPropertyValue(name).trim());
  for (const element of [copy, ...copy.querySelectorAll<SVGElement>('*')]) {
    for (const { name, value } of [...element.attributes]) {
      if (value.includes('var(')) element.setAttribute(name, resolved(value));
    }
    if (element.localName === 'style') element.textContent = resolved(element.textContent ?? '');
  }
  const named = (tag: string, text: string): SVGElement => {
    const element = document.createElementNS('http://www.w3.org/2000/svg', tag);
    element.textContent = text;
    return element;
  };
  const ground = document.createElementNS('http://www.w3.org/2000/svg', 'rect');
  ground.setAttribute('width', '100%');
  ground.setAttribute('height', '100%');
  ground.setAttribute('fill', style.getPropertyValue('--ground').trim());
  copy.prepend(named('title', title), named('desc', reading), ground);
  copy.setAttribute('color', style.getPropertyValue('--ink').trim());
  copy.setAttribute('font-family', 'system-ui, sans-serif');
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  return new XMLSerializer().serializeToString(copy);
}

export async function pngFrom(svg: string, picture: SVGSVGElement): Promise<Blob> {
  const { width, height } = picture.getBoundingClientRect();
  const image = new Image(width, height);
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
  await image.decode();
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(width * PNG_SCALE);
  canvas.height = Math.round(height * PNG_SCALE);
  canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob === null ? reject(new Error('The picture is too large to save as PNG. Save it as SVG.')) : resolve(blob)), 'image/png');
  });
}

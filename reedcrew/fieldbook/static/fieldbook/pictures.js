/* Photos are made small enough on the phone; what a camera wrote into them is left out on the way. */

const SIDE = 2560; // px of the longer side
const QUALITY = 0.85;

/** The photo as a JPEG that the server takes; throws when it is no picture that this browser can read. */
export async function shrunk(file) {
  const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, SIDE / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(bitmap.width * scale);
  canvas.height = Math.round(bitmap.height * scale);
  canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("no picture"))), "image/jpeg", QUALITY);
  });
}

/** Draw a kept photo small into a canvas: the content policy allows no pictures from memory. */
export async function preview(canvas, blob) {
  const bitmap = await createImageBitmap(blob);
  canvas.height = Math.round((canvas.width * bitmap.height) / bitmap.width);
  canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
}

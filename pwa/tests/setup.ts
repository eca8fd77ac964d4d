/** An IndexedDB for Node; WebCrypto, BroadcastChannel and the rest are Node's own. */
import "fake-indexeddb/auto";
